app_name = "letters"
urlpatterns = []

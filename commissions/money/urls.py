app_name = "money"
urlpatterns = []

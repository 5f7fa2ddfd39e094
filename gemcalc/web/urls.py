app_name = "figures"
urlpatterns = []

app_name = "delivery"
urlpatterns = []

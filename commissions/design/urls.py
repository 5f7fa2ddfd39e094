app_name = "design"
urlpatterns = []

app_name = "sourcing"
urlpatterns = []

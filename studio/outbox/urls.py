app_name = "outbox"
urlpatterns = []

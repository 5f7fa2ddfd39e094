"""Stop reading an upload as soon as it is too large."""

from django.conf import settings
from django.core.files.uploadhandler import FileUploadHandler, SkipFile, StopUpload


class EarlyLimit(FileUploadHandler):
    """Refuse a file above UPLOAD_FILE_MB while it is still arriving, and mark the request so that the form can say so."""

    def new_file(self, *args, **kwargs):
        super().new_file(*args, **kwargs)
        self.received = 0

    def receive_data_chunk(self, raw_data, start):
        self.received += len(raw_data)
        if self.received > settings.UPLOAD_FILE_MB * 1024 * 1024:
            too_large = getattr(self.request, "too_large", [])
            too_large.append(self.field_name)
            self.request.too_large = too_large
            raise SkipFile
        if start > 20 * settings.UPLOAD_FILE_MB * 1024 * 1024:
            raise StopUpload(connection_reset=True)
        return raw_data

    def file_complete(self, file_size):
        return None

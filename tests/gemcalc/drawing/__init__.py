"""The drawing: scale, bytes, files read back."""

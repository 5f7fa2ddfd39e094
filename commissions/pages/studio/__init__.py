"""The studio's pages that join rooms."""

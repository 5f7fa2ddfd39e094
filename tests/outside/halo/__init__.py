"""The halo against mathematics that is older than this program."""

"""What is kept, how it is kept safe, and when it goes: backups, exports, the schedule."""

"""System checks: what `manage.py check` says of this program."""

"""The measured claims: one file each, run as `python -m bench.NAME [--quick] [--json]`."""

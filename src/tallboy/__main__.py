"""`python -m tallboy` is the same as `tallboy`."""

import sys

from tallboy.cli.main import main

sys.exit(main())

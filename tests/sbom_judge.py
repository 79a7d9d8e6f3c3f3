#!/usr/bin/env python3
"""Holds a bill of materials on standard input to the published schema. The first argument is a folder of packages that holds
cyclonedx-python-lib, which carries the schema. Prints what is wrong, and ends with 1 if anything is."""

import sys

sys.path.insert(0, sys.argv[1])

from cyclonedx.schema import SchemaVersion  # noqa: E402
from cyclonedx.validation.json import JsonStrictValidator  # noqa: E402

problem = JsonStrictValidator(SchemaVersion.V1_6).validate_str(sys.stdin.read())
if problem is not None:
    sys.exit(str(problem)[:4000])

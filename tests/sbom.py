#!/usr/bin/env python3
"""Writes the program's bill of materials: every package of Cargo.lock with its licence and checksum, and what needs what.

CycloneDX 1.6 as JSON, on standard output: the same lock file gives the same bytes, so it names no time and no number of its
own. What is built into the program has the scope `required`; what only tests and other systems need is `excluded`.
"""

import json
import subprocess
import sys
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
# Those that deny.toml judges.
SYSTEMS = tomllib.loads((ROOT / "deny.toml").read_text())["graph"]["targets"]


def metadata(*systems):
    """What the build tool knows of the packages in the lock file; of those that these systems need, if any are named."""
    filters = [f"--filter-platform={system}" for system in systems]
    words = ["cargo", "metadata", "--locked", "--format-version=1", *filters]
    return json.loads(subprocess.run(words, cwd=ROOT, check=True, stdout=subprocess.PIPE).stdout)


def reference(package):
    return f"pkg:cargo/{package['name']}@{package['version']}"


def licence(package):
    """A package's licence as an SPDX expression; older packages write a stroke for `OR`."""
    words = " OR ".join(part.strip() for part in package["license"].split("/"))
    return [{"expression": words}]


def component(package, checksums, required):
    kind = "application" if package["source"] is None else "library"
    made = {
        "type": kind,
        "bom-ref": reference(package),
        "name": package["name"],
        "version": package["version"],
        "scope": "required" if package["id"] in required else "excluded",
        "licenses": licence(package),
        "purl": reference(package),
    }
    checksum = checksums.get((package["name"], package["version"]))
    if checksum:
        made["hashes"] = [{"alg": "SHA-256", "content": checksum}]
    return made


def reached(resolve):
    """Everything that the program is built from: dependencies, and theirs, but not those of tests."""
    nodes = {node["id"]: node for node in resolve["nodes"]}
    found, ahead = set(), [resolve["root"]]
    while ahead:
        own = ahead.pop()
        if own not in found:
            found.add(own)
            ahead += [each["pkg"] for each in nodes[own]["deps"] if any(kind["kind"] != "dev" for kind in each["dep_kinds"])]
    return found


def bill():
    every = metadata()
    required = reached(metadata(*SYSTEMS)["resolve"])
    locked = tomllib.loads((ROOT / "Cargo.lock").read_text())["package"]
    checksums = {(package["name"], package["version"]): package.get("checksum") for package in locked}
    packages = {package["id"]: package for package in every["packages"]}
    root = packages[every["resolve"]["root"]]
    own = component(root, checksums, required)
    del own["scope"]
    others = [component(package, checksums, required) for package in packages.values() if package is not root]
    needs = [
        {"ref": reference(packages[node["id"]]), "dependsOn": sorted({reference(packages[each]) for each in node["dependencies"]})}
        for node in every["resolve"]["nodes"]
    ]
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.6",
        "version": 1,
        "metadata": {"component": own},
        "components": sorted(others, key=lambda one: one["bom-ref"]),
        "dependencies": sorted(needs, key=lambda one: one["ref"]),
    }


json.dump(bill(), sys.stdout, indent=1, ensure_ascii=False)
print()

"""Print what pyproject.toml asks for: the build tools, the dependencies and one extra.

Installing these first keeps a change of our own code from touching the network.
"""

import re
import sys
import tomllib
from pathlib import Path


def extra_of(project: dict, name: str) -> list[str]:
    """Requirements of an extra, with our own nested extras opened up."""
    found: list[str] = []
    for requirement in project["optional-dependencies"][name]:
        nested = re.fullmatch(r"nightbus\[(.+)\]", requirement)
        if nested:
            for inner in nested[1].split(","):
                found += extra_of(project, inner.strip())
        else:
            found.append(requirement)
    return found


def main() -> None:
    document = tomllib.loads(Path("pyproject.toml").read_text(encoding="utf-8"))
    project = document["project"]
    # Eigen and fmt come from Debian's packages here.
    build = [r for r in document["build-system"]["requires"] if not r.startswith("cmeel")]
    print(
        "\n".join(dict.fromkeys(build + project["dependencies"] + extra_of(project, sys.argv[1])))
    )


if __name__ == "__main__":
    main()

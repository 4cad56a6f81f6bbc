"""The exact lists of packages in .packages/: which version of each is installed, and the checksum of each of its files.

learner.txt is what `start` installs; test.txt begins with it and adds what the tests need. `renew` writes them.
"""

import re

FOLDER = ".packages"
# "numpy==2.4.6 ; python_full_version < '3.12'", and on lines of their own its checksums
PIN = re.compile(r"^[a-z0-9][a-z0-9._-]*==[^\\\n]*?(?= *(?:\\?$| --hash))", re.MULTILINE)


def file(root, name):
    """Give the file of a set of packages, "learner" or "test"."""
    return root / FOLDER / f"{name}.txt"


def blocks(text):
    """Give what a list says: of each package the first line, without checksums -> all its lines."""
    starts = [found.start() for found in PIN.finditer(text)]
    whole = [text[start:stop] for start, stop in zip(starts, [*starts[1:], len(text)])]
    return {PIN.match(block).group(): block for block in whole}

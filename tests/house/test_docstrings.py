"""Docstrings of physics/ against the contract of DEVELOPERS.md, and this reader against small broken examples."""

import ast
import doctest
import inspect
import pathlib
import re

import pytest

ROOT = pathlib.Path(__file__).parents[2]
FILES = sorted(path for path in (ROOT / "mechbench" / "physics").glob("[!_]*.py") if path.name != "check.py")
HEADS = ("Equation:", "Parameters", "Returns", "Valid:", "Raises:", "Source:", ">>>")
ENTRY = re.compile(r"^(\w+) :\s*(.*)$")
BRACKET = re.compile(r"\[([^\]]*)\]")
SHAPE = re.compile(r"shape \[[^\]]*\]( or \[[^\]]*\])*")  # [N] after "shape" counts readings, not newtons


# Each parameter and each return carries one of these in brackets. `whole` is a whole number, `any` a unit that follows
# from the arguments, `part` one of our dataclasses or a list of them.
UNITS = set(
    BRACKET.findall(
        "[-] [m] [m2] [kg] [kg·m2] [s] [N] [N·m] [N/m] [N·m2] [rad] [rad/s] [rad/s2] [m/s] [m/s2] [V] [A] [ohm]"
        " [V·s/rad] [N·m/A] [W] [J] [Pa] [K] [degC] [K/W] [J/K] [1/K] [A·s] [deg] [rpm] [Hz]"
        " [whole] [yes/no] [text] [part] [any]"
    )
)


# --- the reader -----------------------------------------------------------------------------------------------------


def problems(source, file):
    """List what is wrong in a file's text, one sentence each: file, function, what is missing."""
    found = []
    for node in ast.parse(source).body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            found += [f"{node.name}: {text}" for text in function_problems(node)]
        elif isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            found += [f"{node.name}: {text}" for text in class_problems(node)]
            found += [
                f"{node.name}.{method.name}: {text}"
                for method in node.body
                if isinstance(method, ast.FunctionDef) and not method.name.startswith("_")
                for text in method_problems(method)
            ]
    return [f"{file}: {text}" for text in found]


def function_problems(node, skip_self=False):
    sections, found = split(node)
    names = argument_names(node)[1 if skip_self else 0 :]
    wanted = [head for head in HEADS if names or head != "Parameters"]
    found += [
        f"has no {head.rstrip(':')}" if head != ">>>" else "has no example (>>>)"
        for head in wanted
        if head not in sections
    ]
    if list(sections) != [head for head in HEADS if head in sections]:
        found.append(f"has its sections in the order {', '.join(sections)}; the contract says {', '.join(wanted)}")
    found += [f"says nothing after {head}" for head in HEADS if head.endswith(":") and sections.get(head) == ""]
    if "Parameters" in sections:
        found += entry_problems("Parameters", sections["Parameters"], names)
    if "Returns" in sections:
        found += entry_problems("Returns", sections["Returns"], None)
    if ">>>" in sections and not any(example.want for example in examples(node)):
        found.append("has an example that shows no result")
    return found


def class_problems(node):
    sections, found = split(node, heads=("Fields",))
    if not is_frozen_dataclass(node):
        found.append("is not a frozen dataclass")
    if "Fields" not in sections:
        return found + ["has no Fields"]
    return found + entry_problems("Fields", sections["Fields"], field_names(node))


def method_problems(node):
    """One line of code needs one sentence; more follow the contract of functions."""
    body = node.body[1:] if ast.get_docstring(node) else node.body
    static = any(isinstance(mark, ast.Name) and mark.id == "staticmethod" for mark in node.decorator_list)
    if body and body[-1].end_lineno == body[0].lineno:
        return split(node)[1]
    return function_problems(node, skip_self=not static)


def split(node, heads=HEADS):
    """Cut a docstring at its heads; return their texts in the order found, and what is wrong with its first line."""
    docstring = inspect.cleandoc(ast.get_docstring(node) or "")
    if not docstring:
        return {}, ["has no docstring"]
    lines = docstring.splitlines()
    found = [] if lines[0].endswith(".") else ["has a first line that isn't a sentence with a full stop"]
    sections, head = {}, None
    for number, line in enumerate(lines):
        ruled = number + 1 < len(lines) and re.fullmatch("-{3,}", lines[number + 1])
        starts = next(
            (one for one in heads if (line == one and ruled) or (not one.isalpha() and line.startswith(one))), None
        )
        if starts and starts not in sections:
            head, sections[starts] = starts, []
            line = line[len(starts) :]
        if head:
            sections[head].append(line)
    return {name: "\n".join(text).strip() for name, text in sections.items()}, found


def entry_problems(section, text, names):
    """Read lines of the form `name : [unit] words`; lines further in go on with the words before."""
    found, seen = [], []
    for line in text.splitlines():
        entry = ENTRY.match(line)
        if entry:
            seen.append([entry.group(1), entry.group(2)])
        elif line.startswith(" ") and seen:
            seen[-1][1] += " " + line.strip()
        elif line.strip("-").strip():
            break  # a remark after the entries
    for name, words in seen:
        unit = BRACKET.match(words)
        if not unit or unit.group(1) not in UNITS:
            found.append(f"{section} gives {name} no unit of the list: {words[:30]!r}")
        elif len([one for one in BRACKET.findall(SHAPE.sub("", words)) if one in UNITS]) > 1:
            found.append(f"{section} gives {name} more than one unit")
        elif not words[unit.end() :].strip() and section != "Returns":
            found.append(f"{section} gives {name} no words")
    documented = [name for name, _ in seen]
    if names is not None and documented != names:
        found.append(f"{section} documents {', '.join(documented) or 'nothing'}; the code has {', '.join(names)}")
    if names is None and not documented:
        found.append(f"{section} documents nothing")
    return found


def argument_names(node):
    given = node.args
    plain = given.posonlyargs + given.args + ([given.vararg] if given.vararg else []) + given.kwonlyargs
    return [one.arg for one in plain + ([given.kwarg] if given.kwarg else [])]


def field_names(node):
    return [
        one.target.id
        for one in node.body
        if isinstance(one, ast.AnnAssign)
        and not one.target.id.startswith("_")
        and "ClassVar" not in ast.unparse(one.annotation)
    ]


def is_frozen_dataclass(node):
    marks = [ast.unparse(mark) for mark in node.decorator_list]
    return any("dataclass(" in mark and "frozen=True" in mark for mark in marks)


def examples(node):
    return doctest.DocTestParser().get_examples(ast.get_docstring(node))


# --- the check ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_contract(path):
    found = problems(path.read_text(encoding="utf-8"), f"physics/{path.name}")
    assert not found, "\n" + "\n".join(found)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_docstring_of_the_file(path):
    docstring = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert docstring, f"physics/{path.name} has no docstring; it is the table of contents"
    public = [
        node.name
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_")
    ]
    left_out = [name for name in public if not re.search(rf"\b{name}\b", docstring)]
    assert not left_out, f"physics/{path.name}: its table of contents leaves out {', '.join(left_out)}"


def test_files_were_found():
    assert {"motor", "battery", "fit"} <= {path.stem for path in FILES}
    assert {"-", "N·m", "ohm", "A·s", "part", "any"} <= UNITS and "lbf" not in UNITS


# --- the reader itself, on small examples ---------------------------------------------------------------------------

GOOD = '''
def double(force, *, count):
    """Give a force several times over.

    Equation: n F

    Parameters
    ----------
    force : [N] any sign; shape [N] or [S, N]
    count : [whole] n,
        at least 1

    Returns
    -------
    force : [N] the sum

    Valid: always.
    Raises: nothing.
    Source: first principles.

    >>> double(2.0, count=2)
    4.0
    """
    return force * count


@dataclass(frozen=True)
class Pair:
    """Hold two forces.

    Fields
    ------
    left : [N] one
    right : [N] the other

    A remark may follow.
    """

    left: float
    right: float
    KIND: ClassVar[str] = "pair"

    @property
    def both(self):
        """Give the sum."""
        return self.left + self.right

    def __post_init__(self):
        pass


def _private():
    pass
'''


def test_a_good_example_passes():
    assert problems(GOOD, "good.py") == []


@pytest.mark.parametrize(
    "old, new, says",
    [
        ("several times over.", "several times over", "double: has a first line"),
        ("    Equation: n F\n", "", "double: has no Equation"),
        ("Equation: n F", "Equation:", "double: says nothing after Equation:"),
        ("    Parameters\n", "", "double: has no Parameters"),
        ("    Parameters\n    ----------\n", "    Parameters\n", "double: has no Parameters"),
        ("    Returns\n", "", "double: has no Returns"),
        ("    force : [N] the sum\n", "", "double: Returns documents nothing"),
        ("    Valid: always.\n", "", "double: has no Valid"),
        ("    Raises: nothing.\n", "", "double: has no Raises"),
        ("    Source: first principles.\n", "", "double: has no Source"),
        ("Source: first principles.", "Source:", "double: says nothing after Source:"),
        ("    >>> double(2.0, count=2)\n    4.0\n", "", "double: has no example"),
        ("    4.0\n", "", "double: has an example that shows no result"),
        (
            "    Valid: always.\n    Raises: nothing.\n",
            "    Raises: nothing.\n    Valid: always.\n",
            "double: has its sections in",
        ),
        (
            "force, *, count",
            "force, *, number",
            "double: Parameters documents force, count; the code has force, number",
        ),
        (
            "force, *, count",
            "force, count, *rest",
            "double: Parameters documents force, count; the code has force, count, rest",
        ),
        ("force : [N] any sign", "force : [lbf] any sign", "double: Parameters gives force no unit"),
        ("force : [N] any sign", "force : any sign", "double: Parameters gives force no unit"),
        ("force : [N] any sign", "force : [N] or [kg] any sign", "double: Parameters gives force more than one unit"),
        ("force : [N] the sum", "force : the sum", "double: Returns gives force no unit"),
        ("[whole] n,\n        at least 1", "[whole]", "double: Parameters gives count no words"),
        (
            "right : [N] the other",
            "wrong : [N] the other",
            "Pair: Fields documents left, wrong; the code has left, right",
        ),
        ("    Fields\n", "", "Pair: has no Fields"),
        ("(frozen=True)", "", "Pair: is not a frozen dataclass"),
        (
            "        return self.left + self.right",
            "        sum = self.left\n        return sum + self.right",
            "Pair.both: has no Equation",
        ),
        ('        """Give the sum."""\n', "", "Pair.both: has no docstring"),
        ("def _private():", "def public():", "public: has no docstring"),
        ("def _private():", "class Open:", "Open: is not a frozen dataclass"),
    ],
)
def test_a_broken_example_is_named(old, new, says):
    assert old in GOOD
    found = problems(GOOD.replace(old, new, 1), "broken.py")
    assert any(text.startswith(f"broken.py: {says}") for text in found), found

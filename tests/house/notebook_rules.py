"""Rules that every notebook of lessons/ and solutions/ keeps; each gives a list of sentences, empty when all is well.

every notebook      named, run, shown, compared, written, imports, public, tagged, opens, folded, light
a lesson            titled, framed, cautioned, benches_explained, exercises_used, five_in_core, kit_numbers
a source            answered, bannered
"""

import ast
import re
import tomllib

import mechbench
from mechbench import quantity
from mechbench.course import derived_lesson, lesson_template
from mechbench.course.exercise import Challenge, Prediction
from mechbench.course.notebook import KERNEL, calls, parsed, tags_of
from mechbench.course.question_text import state_line
from mechbench.kits.load import OWN_FOLDER

HEAVIEST = 1_500_000  # bytes
COMPARED_SHARE = 1 / 3
LONGEST_FOLDED = 60  # letters; more of them widen the page of a small window
OBJECT_TEXT = (" at 0x", "<mechbench", "<Figure size")
COMPARED = ("text/plain", "text/markdown")


def code_cells(notebook):
    return [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]


def text_cells(notebook):
    return [cell for cell in notebook["cells"] if cell["cell_type"] == "markdown"]


# --- every notebook -------------------------------------------------------------------------------------------------


def named(notebook, prefix):
    """Cell ids are given by hand: the lesson's prefix, then small letters and digits; no two alike."""
    ids = [cell["id"] for cell in notebook["cells"]]
    slug = re.compile(re.escape(prefix) + r"[a-z0-9]+(-[a-z0-9]+)*")
    found = [
        f"cell {id}: its id must be {prefix} and a word or a number, such as {prefix}07"
        for id in ids
        if not slug.fullmatch(id)
    ]
    return found + [f"cell {id}: two cells have this id" for id in sorted({id for id in ids if ids.count(id) > 1})]


def run(notebook):
    """Every code cell was run, once, from top to bottom."""
    found = []
    for number, cell in enumerate(code_cells(notebook), 1):
        if cell["execution_count"] != number:
            found.append(f"cell {cell['id']}: its execution count is {cell['execution_count']}, not {number}; refresh")
        counts = {output["execution_count"] for output in cell["outputs"] if "execution_count" in output}
        found += [
            f"cell {cell['id']}: its output has the execution count {count}; refresh" for count in counts - {number}
        ]
    return found


def shown(notebook):
    """What is stored can be read on paper: no error, no warning, no live view, no SVG, no text of an object."""
    return [
        f"cell {cell['id']}: its output holds {what}"
        for cell in code_cells(notebook)
        for output in cell["outputs"]
        for what in _unwanted(output)
    ]


def _unwanted(output):
    data = output.get("data", {})
    if output["output_type"] == "error":
        yield f"an error, {output['ename']}"
    if output.get("name") == "stderr":
        yield "a warning (stderr)"
    if any("widget-view" in kind for kind in data):
        yield "a live view, which is dead without a kernel"
    if "image/svg+xml" in data:
        yield "SVG, which differs between machines"
    text = "".join([output.get("text", ""), *(str(data.get(kind, "")) for kind in ("text/html", *COMPARED))])
    yield from (f"the text of an object, {sign!r}" for sign in OBJECT_TEXT if sign in text)


def compared(notebook):
    """At least one code cell in three shows text that the tests compare."""
    cells = code_cells(notebook)
    with_text = [cell for cell in cells if any(_compared_text(output).strip() for output in cell["outputs"])]
    if len(with_text) < COMPARED_SHARE * len(cells):
        return [
            f"only {len(with_text)} of {len(cells)} code cells show text to compare; show a sentence after more of them"
        ]
    return []


def _compared_text(output):
    return output.get("text", "") + "".join(output.get("data", {}).get(kind, "") for kind in COMPARED)


def written(notebook):
    """Every cell is finished, and code is plain Python."""
    left = [
        f"cell {cell['id']}: has a line to {lesson_template.TO_WRITE}"
        for cell in notebook["cells"]
        if lesson_template.TO_WRITE in cell["source"]
    ]
    return left + [f"cell {cell['id']}: is no plain Python" for cell in code_cells(notebook) if parsed(cell) is None]


def imports(notebook):
    """`import mechbench as mb` once, in the first code cell, and nothing else of ours."""
    ours = []
    for cell in code_cells(notebook):
        for node in ast.walk(parsed(cell) or ast.Module([], [])):
            if isinstance(node, ast.Import | ast.ImportFrom) and _is_ours(node):
                ours.append((cell["id"], ast.unparse(node)))
    found = [
        f"cell {id}: {line}; a notebook has `import mechbench as mb` only"
        for id, line in ours
        if line != "import mechbench as mb"
    ]
    first = [cell["id"] for cell in code_cells(notebook)[:1]]
    if [id for id, line in ours if line == "import mechbench as mb"] != first:
        found.append("`import mechbench as mb` must stand once, in the first code cell")
    return found


def _is_ours(node):
    names = [node.module or ""] if isinstance(node, ast.ImportFrom) else [alias.name for alias in node.names]
    return any(name.partition(".")[0] in ("mechbench", "") for name in names)


def public(notebook):
    """Code and text speak of mb.NAME only where there is such a name."""
    found = []
    for cell in notebook["cells"]:
        tree = parsed(cell) if cell["cell_type"] == "code" else None
        names = IN_WORDS.findall(cell["source"]) if tree is None else map(_of_mb, ast.walk(tree))
        unknown = dict.fromkeys(name for name in names if name and name not in mechbench.PUBLIC)
        found += [f"cell {cell['id']}: mb.{name} is no public name of mechbench" for name in unknown]
    return found


IN_WORDS = re.compile(r"\bmb\.([A-Za-z_]\w*)")


def _of_mb(node):
    """NAME where a piece of code is mb.NAME."""
    ours = isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "mb"
    return node.attr if ours else ""


def tagged(notebook):
    """Only known tags: a slip of the pen in one would show a mentor's note to the learners."""
    return [
        f"cell {cell['id']}: the tag {tag!r} is not one of {', '.join(derived_lesson.TAGS)}"
        for cell in notebook["cells"]
        for tag in tags_of(cell)
        if tag not in derived_lesson.TAGS
    ]


def opens(notebook):
    """It opens without a question about its kernel, and holds nothing of the machine that ran it."""
    found = [] if notebook["metadata"].get("kernelspec") == KERNEL else [f"its kernelspec is not {KERNEL}"]
    found += ["its metadata hold widgets"] if "widgets" in notebook["metadata"] else []
    if "version" in notebook["metadata"].get("language_info", {}):
        found.append("its language_info holds a version")
    return found + [
        f"cell {cell['id']}: its metadata hold times (execution)"
        for cell in notebook["cells"]
        if "execution" in cell["metadata"]
    ]


def folded(notebook):
    """A cell whose code is folded away shows its first line only: a short comment, which does not widen the page."""
    found = []
    for cell in code_cells(notebook):
        first = cell["source"].partition("\n")[0]
        if cell["metadata"].get("jupyter", {}).get("source_hidden") and not (
            first.startswith("#") and len(first) <= LONGEST_FOLDED
        ):
            found.append(
                f"cell {cell['id']}: is folded, so its first line must be a comment of at most {LONGEST_FOLDED} letters"
            )
    return found


def light(path):
    """A notebook's file opens quickly."""
    size = path.stat().st_size
    return [f"is {size / 1e6:.1f} MB, more than {HEAVIEST / 1e6} MB; show smaller pictures"] if size > HEAVIEST else []


# --- a lesson -------------------------------------------------------------------------------------------------------


def titled(notebook, lesson):
    """The first cell is the heading and the lesson's question."""
    first = notebook["cells"][0]["source"] if notebook["cells"] else ""
    return (
        []
        if first.startswith(lesson_template.title(lesson))
        else [f"does not begin with {lesson_template.title(lesson)!r}"]
    )


def parts_of(notebook):
    """Heading line, and the text and code below it, for each part: those of the core, More, and those under More."""
    parts, apart = [], False
    for cell in notebook["cells"]:
        for line in cell["source"].splitlines():
            if cell["cell_type"] == "markdown" and (line.startswith("## ") or apart and line.startswith("### ")):
                parts.append([line.strip(), ""])
                apart = apart or line.startswith(f"## {lesson_template.MORE}")
            elif parts:
                parts[-1][1] += line + "\n"
    return parts


def framed(notebook):
    """All parts are there, in order, none empty, each with what it must hold; under More, each with its minutes."""
    parts = parts_of(notebook)
    found = [*_frame(parts, "## ", lesson_template.PARTS), *_frame(parts, "### ", lesson_template.MORE_PARTS)]
    return found + [
        f"'{line}' must end in its minutes, such as (10 minutes); refresh writes the number"
        for line, _ in parts
        if line.startswith("### ") and not lesson_template.MINUTES.search(line)
    ]


def _frame(parts, marks, frame):
    """What is wrong with the parts of one level of headings."""
    known = {part.heading: part for part in frame}
    found, there = [], []
    for line, body in parts:
        if not line.startswith(marks):
            continue
        part = known.get(lesson_template.heading_of(line))
        if part is None:
            found.append(f"'{line}' is no part of the frame; inside a part write #{marks}")
            continue
        there.append(part.heading)
        found += [f"'{line}' is empty"] if not body.strip() else []
        found += [f"'{line}' lacks {need!r}" for need in part.needs if need not in body]
    wanted = [part.heading for part in frame if part.heading in there or not part.optional]
    if there != wanted:
        found.append(f"its parts are {', '.join(there) or 'missing'}; the frame is {', '.join(wanted)}")
    return found


def five_in_core(notebook, registered):
    """The core asks five exercises, none of them a design or a measurement; all others stand under More."""
    long = {known.id for known in registered if isinstance(known, Challenge) or getattr(known, "shop", None)}
    in_core, part = [], ""
    for cell in notebook["cells"]:
        if cell["cell_type"] == "markdown":
            part = next((line for line in reversed(cell["source"].splitlines()) if line.startswith("## ")), part)
        elif lesson_template.heading_of(part) == lesson_template.EXERCISES:
            in_core += calls(cell, "ask")
    found = [f"'{id}' is a design or a measurement and belongs under More" for id in in_core if id in long]
    if len(set(in_core)) != lesson_template.FIVE:
        found.append(f"its core asks {len(set(in_core))} exercises, not {lesson_template.FIVE}")
    return found


def cautioned(notebook):
    """One caution box, with the cautions that hold everywhere, before all that it warns of."""
    boxes = [cell for cell in text_cells(notebook) if derived_lesson.CAUTION in tags_of(cell)]
    if len(boxes) != 1:
        return [f"has {len(boxes)} caution boxes; one Markdown cell has the tag {derived_lesson.CAUTION}"]
    words = boxes[0]["source"].lower()
    found = [f"its caution box does not say {word!r}" for word in lesson_template.CAUTION_SAYS if word not in words]
    before = notebook["cells"][notebook["cells"].index(boxes[0]) - 1]["source"]
    if not before.startswith("### ") or lesson_template.heading_of(before) != lesson_template.MEASURE:
        found.append(f"its caution box does not stand right below the heading {lesson_template.MEASURE!r}")
    return found


def benches_explained(notebook):
    """After each bench stands what you should see, and with which settings it holds: the bench's, or others."""
    cells = notebook["cells"]
    both = [(cell, after) for cell, after in zip(cells, [*cells[1:], {"source": ""}]) if cell["cell_type"] == "code"]
    return [
        f"cell {cell['id']}: {lack}" for cell, after in both if calls(cell, "bench") for lack in _unsettled(cell, after)
    ]


def _unsettled(cell, after):
    """What lacks so that the cell after a bench tells with which settings it holds."""
    name = next((found.group(1) for found in NAMED_BENCH.finditer(cell["source"])), "")
    if not name:
        yield "a bench must have a name, such as bench = mb.bench(...), by which the next cell asks its settings"
    elif lesson_template.HOLDS_WITH not in after["source"]:
        yield f"a bench must be followed by a cell that says {lesson_template.HOLDS_WITH!r}"
    elif "settings=" not in after["source"]:
        yield f"the cell after it must be given settings: {name}.settings, or those that its numbers are made with"


NAMED_BENCH = re.compile(r"^(\w+) = mb\.bench\(", re.MULTILINE)


def exercises_used(notebook, registered):
    """The lesson asks all its registered exercises and no other; those of each part in their order."""
    asked = [id for cell in code_cells(notebook) for id in calls(cell, "ask")]
    known = [exercise.id for exercise in registered]
    read = [id for cell in code_cells(notebook) for id in calls(cell, "readings")]
    found = [
        f"asks {id!r}, which is no exercise of this lesson" for id in dict.fromkeys([*asked, *read]) if id not in known
    ]
    found += [f"does not ask {id}" for id in known if id not in asked]
    return found or [problem for line, body in parts_of(notebook) for problem in _out_of_order(line, body, known)]


def _out_of_order(line, body, known):
    there = list(dict.fromkeys(re.findall(r'mb\.ask\("([^"]+)"\)', body)))
    should = [id for id in known if id in there]
    if there != should:
        yield f"'{line}' asks in the order {', '.join(there)}; exercises/ has {', '.join(should)}"


def numbers_of_kit():
    """All quantities of the course's own game and parts as kind and SI value, but round ones, which stand everywhere.

    Whole robots are left out: they hold a hundred places and masses, and some of them is in every sum.
    """
    texts = [
        text
        for file in sorted(OWN_FOLDER.glob("*.toml"))
        if file.name != "robots.toml"
        for text in _texts(tomllib.loads(file.read_text("utf-8")))
    ]
    return {(read.kind, read.value) for text in texts if (read := _quantity(text))}


def _texts(branch):
    if isinstance(branch, str):
        yield branch
    for inner in branch.values() if isinstance(branch, dict) else branch if isinstance(branch, list) else ():
        yield from _texts(inner)


def _quantity(text):
    """A text as a quantity; None where it is none, or where its number has one digit besides zeros."""
    try:
        read = quantity.read(text)
    except ValueError:
        return None
    return read if len(f"{read.number:g}".replace(".", "").strip("0")) > 1 else None


QUANTITY = re.compile(r"(?<![\w.,])\d[\d.,]* ?[A-Za-z°Ω%][\w·/%]*")


def kit_numbers(notebook, of_kit):
    """No text cell holds a number of the kit: text can't follow a mentor's own kit, a cell with mb.say can."""
    found = []
    for cell in text_cells(notebook):
        plain = re.sub(r"`[^`]*`", "", cell["source"])
        for text in QUANTITY.findall(plain):
            read = _quantity(text)
            if read and any(read.kind == kind and abs(read.value - value) < 1e-9 * value for kind, value in of_kit):
                found.append(f"cell {cell['id']}: {text} is a number of the kit; show it by mb.say in a code cell")
    return found


# --- a source -------------------------------------------------------------------------------------------------------


def answered(notebook, registered):
    """Each exercise but a prediction has a worked answer that is right, in a cell that the lesson empties or leaves
    out.
    """
    right = set()
    for cell in code_cells(notebook):
        if derived_lesson.ANSWER in tags_of(cell) or derived_lesson.MENTOR in tags_of(cell):
            text = "".join(_compared_text(output) for output in cell["outputs"])
            asked = calls(cell, "ask")
            if text.count(state_line("right")) >= len(asked):
                right.update(asked)
    return [
        f"has no cell tagged {derived_lesson.ANSWER} in which mb.ask({exercise.id!r}).answer(...) is shown to be right"
        for exercise in registered
        if not isinstance(exercise, Prediction) and exercise.id not in right
    ]


def bannered(notebook):
    """The edition with answers says so at its top."""
    places = [place for place, cell in enumerate(notebook["cells"]) if derived_lesson.BANNER in tags_of(cell)]
    return [] if places == [0] else [f"its first cell, and no other, has the tag {derived_lesson.BANNER}"]


# --- together -------------------------------------------------------------------------------------------------------


def of_every_notebook(notebook, prefix):
    """What is wrong with a notebook, whichever it is."""
    return [
        *named(notebook, prefix),
        *run(notebook),
        *shown(notebook),
        *compared(notebook),
        *written(notebook),
        *imports(notebook),
        *public(notebook),
        *tagged(notebook),
        *opens(notebook),
        *folded(notebook),
    ]


def of_a_lesson(notebook, lesson, registered, of_kit):
    """What is wrong with a derived lesson besides."""
    return [
        *titled(notebook, lesson),
        *framed(notebook),
        *cautioned(notebook),
        *benches_explained(notebook),
        *exercises_used(notebook, registered),
        *five_in_core(notebook, registered),
        *kit_numbers(notebook, of_kit),
    ]


def of_a_source(notebook, registered):
    """What is wrong with a source besides."""
    return [*bannered(notebook), *answered(notebook, registered)]

"""Thousands of lines that nobody would type, and some that a hurried person does: one sentence or an answer, never
more.
"""

import os
import random
import subprocess
import sys

import pytest

from mechbench.catalog import NAMES, sizing_of
from mechbench.desk import correct, ranking
from mechbench.desk.arguments import OPTIONS
from mechbench.desk.command_words import CANT
from mechbench.desk.common_words import LABEL, SAYS_NOTHING, TURNED
from mechbench.desk.fits import FITS
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Pick
from tests.desk.asked import ask, is_one_sentence
from tests.tries import tries

LINES, PROCESSES, CORRECTIONS = tries(1_000, thorough=10_000), tries(12, thorough=400), tries(300, thorough=800)
BATCHES = tries(2, thorough=10)
QUICK = ("trips", "motor", "train", "pair", "cycle", "intake", "gripper", "balance")  # solved within a few milliseconds
UNITS = (
    "",
    "Nm",
    "kg",
    "mm",
    "s",
    "rpm",
    "deg",
    "%",
    "lbf.in",
    "in",
    "ozf·in",
    "K",
    "°",
    "µm",
    "m/s2",
    "x",
    "kg cm",
    "²",
)
NUMBERS = (
    "0",
    "1",
    "-1",
    "0.5",
    "1e3",
    "1e400",
    "nan",
    "inf",
    "1,234",
    "1.234,5",
    "½",
    "٣",
    "0x10",
    "1_000",
    "",
    "9" * 50,
    "--",
    "1..2",
    "1/0",
)
NOISE = (
    "",
    " ",
    "=",
    "==",
    "-",
    "--",
    "-h",
    "--help",
    "\x00",
    "\ud800",
    "\u202e",
    "💥",
    "a" * 5000,
    "../..",
    "/dev/stdin",
    "/",
    ".",
    "*",
    "'",
    '"',
    "%s",
    "{}",
    "__class__",
    "x=1;import os",
    "arm.html",
    "NaN",
    "size",
)


def word(random_, sizing):
    """One word of a line, from likely to absurd."""
    kind = random_.random()
    if kind < 0.15:
        return said_by_people(random_, sizing)
    if kind < 0.45:
        field = random_.choice(sizing.FIELDS)
        name = field.name if random_.random() < 0.8 else field.name[: random_.randint(0, 6)] + random_.choice("abc=_")
        return f"{name}={value(random_, field)}"
    if kind < 0.75:
        option = random_.choice(list(OPTIONS))
        if OPTIONS[option].takes and random_.random() < 0.85:
            return option + random_.choice("= ") + after(random_, option, sizing)
        return option + random_.choice(("", "", "=1", "x"))
    if kind < 0.85:
        return random_.choice(list(NAMES))
    return random_.choice(NOISE) + random_.choice(("", "=", "=" + random_.choice(NOISE)))


def said_by_people(random_, sizing):
    """A word that no option and no name is: another word for something, the most of it, a value alone, filler."""
    one = random_.choice((*sizing.FIELDS, *sizing.FINDINGS))
    also = random_.choice((one.name, *one.also))
    kinds = (
        lambda: also,
        lambda: f"{also}={random_.choice(NUMBERS)}{random_.choice(UNITS)}",
        lambda: f"{also} = {random_.choice(NUMBERS)} {random_.choice(UNITS)}",
        lambda: f"{also}={random_.choice(('?', 'max', '1,2', 'off', '1 vs 2'))}",
        lambda: random_.choice(
            (*TURNED, *sorted(SAYS_NOTHING), *LABEL, "vs", "or", "=", "12 36", "12:36", "120mm", "2.8Ah")
        ),
        lambda: random_.choice([word for name in NAMES for word in sizing_of(name).ALSO]),
        lambda: f"{random_.choice(NUMBERS)} {random_.choice(UNITS)} to {random_.choice(UNITS)}",
    )
    return random_.choice(kinds)()


def value(random_, field):
    if isinstance(field, Pick) and random_.random() < 0.7:
        return random_.choice(
            ("slim", "stout", "planetary_74", "74", "none", "1", "2", "9", field.default, "belt", "x")
        )
    if isinstance(field, Pick) or random_.random() < 0.4:
        return random_.choice(NUMBERS) + random_.choice(("", " ")) + random_.choice(UNITS)
    span = field.low + random_.random() * (field.high - field.low)
    return f"{span:.3g}{field.unit}"


def after(random_, option, sizing):
    field = random_.choice(sizing.FIELDS)
    texts = {
        "--find": lambda: ",".join(
            random_.choice((f.name, f.name, "x", "")) for f in random_.sample(sizing.FIELDS, random_.randint(1, 3))
        ),
        **dict.fromkeys(("--most", "--least"), lambda: random_.choice((field.name, "mass", "x", "", "time"))),
        "--sweep": lambda: (
            f"{field.name}={value(random_, field)}..{value(random_, field)}" if random_.random() < 0.7 else field.name
        ),
        "--most": lambda: random_.choice((field.name, "mass", "x", "")),
        "--least": lambda: random_.choice((field.name, "mass", "x", "")),
        "--ask": lambda: random_.choice(("1", "99", "list", "why does it reset", "x", "")),
        "--against": lambda: random_.choice(
            (
                f"{field.name}={value(random_, field)},{value(random_, field)}",
                f"{field.name}={value(random_, field)};{value(random_, field)} {random_.choice(NOISE)}",
                *("a.html", "missing.html", "b.md", ".html", "\x00.html", field.name),
            )
        ),
        "--steps": lambda: random_.choice(("2", "3", "5", "-1", "1e9", "٣", "101", "999999999999")),
        "--measured": lambda: (
            f"{random_.choice(sizing.FINDINGS).name}={random_.choice(NUMBERS)}{random_.choice(UNITS)}"
        ),
        "--record": lambda: random_.choice(
            ("a.html", "b.md", "no/such/c.html", "d.txt", "\x00.html", ".html", "e" * 300 + ".html")
        ),
        "--picture": lambda: random_.choice(("a.png", "b.jpg", "no/d.png", "\x00.png")),
        "--reopen": lambda: random_.choice(("a.html", "missing.html", "/dev/null", "/dev/stdin", ".", "b.md", "\x00")),
    }
    return texts[option]()


def line_of(random_, names):
    sizing = sizing_of(random_.choice(names))
    words = [sizing.NAME] if random_.random() < 0.85 else []
    for _ in range(random_.choice((0, 1, 1, 2, 2, 3, 4, 6))):
        words += word(random_, sizing).split(" ")
    return words


def is_fine(said):
    """An answer with code 0 or 1 and no complaint, or code 2 with one sentence and nothing else."""
    if said.code in (0, 1):
        return bool(said.out.strip()) and said.err == ""
    return said.code == 2 and is_one_sentence(said.err)


@pytest.fixture
def small_pictures(monkeypatch):
    """Drawing takes a tenth of a second and has its own tests; here it is the lines that count. Kits are searched in
    part.
    """
    from mechbench.desk import pictures

    for name in ("machine", "machine_alone", "sweep", "readings"):
        monkeypatch.setattr(pictures, name, lambda *given: b"\x89PNG")
    monkeypatch.setattr(ranking, "search", _small_search(ranking.search))


def _small_search(search):
    def few(sizing, values, vary, kit, rank=None, **_):
        tables = Tables(sizing, kit)
        some = {name: parts or list(sizing.field(name).options(tables))[:4] for name, parts in vary.items()}
        return search(sizing, values, some, kit, finalists=4, days=32, rank=rank)

    return few


@pytest.mark.parametrize("batch", range(BATCHES))
def test_no_line_makes_more_than_a_sentence(batch, tmp_path, monkeypatch, small_pictures):
    monkeypatch.chdir(tmp_path)
    random_ = random.Random(batch)
    codes = {0: 0, 1: 0, 2: 0}
    for _ in range(LINES // BATCHES):
        names = QUICK if random_.random() < 0.93 else list(NAMES)
        words = line_of(random_, names)
        said = ask(words)
        assert is_fine(said), (words, said.code, said.err[:2000])
        codes[said.code] += 1
    assert min(codes.values()) >= LINES // BATCHES // 100, f"the lines must be of all kinds: {codes}"


def test_the_same_line_gives_the_same_answer():
    random_ = random.Random(7)
    for _ in range(60):
        words = [w for w in line_of(random_, QUICK) if not w.startswith(("--record", "--picture"))]
        assert ask(words) == ask(words)


@pytest.mark.parametrize("first", range(4))
def test_real_processes_too(first, tmp_path):
    """Through the operating system, where words are bytes, and no word may hold a zero byte."""
    random_ = random.Random(100 + first)
    for _ in range(PROCESSES // 4):
        words = [
            w.replace("\x00", "").encode("utf-8", "surrogateescape" if "\ud800" not in w else "replace")
            for w in line_of(random_, QUICK)
        ]
        done = subprocess.run(
            [sys.executable.encode(), b"-m", b"mechbench", b"size", *words],
            cwd=tmp_path,
            capture_output=True,
            stdin=subprocess.DEVNULL,
            timeout=300,
            env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
        )
        error = done.stderr.decode("utf-8", "replace")
        assert done.returncode in (0, 1, 2) and "Traceback" not in error, (words, error)
        assert bool(error) == (done.returncode == 2), (words, error)


def test_corrections_are_as_polite(tmp_path, monkeypatch, small_pictures):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "good.csv").write_text("press [N],pull [N]\n5,1\n10,2.1\n20,3.9\n")
    (tmp_path / "bad.csv").write_bytes(b"\xff\xfe\x00press [N];pull\n;;;\n1,2;\xe9\n")
    words = (
        "friction",
        "slide",
        "gearbox",
        "motor",
        "good.csv",
        "bad.csv",
        "missing.csv",
        ".",
        "part=slide_rail",
        "part=slim",
        "part=",
        "motor=slim",
        "current=5A",
        "current=x",
        "--kit",
        "kit",
        "--yes",
        "--json",
        "--help",
        "--sheet",
        "s.csv",
        "--picture=p.png",
        "--kit=",
        *NOISE,
    )
    random_ = random.Random(3)
    for _ in range(CORRECTIONS):
        typed = [random_.choice((*FITS, "fiction", ""))] + [random_.choice(words) for _ in range(random_.randint(0, 5))]
        said = ask(typed, correct)
        sentences = [text for text in said.err.splitlines() if text]
        assert said.code in (0, 1, 2) and len(sentences) <= 2 and "Traceback" not in said.err, (typed, said.err)
        assert (said.code == 0) <= (bool(said.out.strip()) or "Written" in said.err), typed


def test_the_words_of_the_fuzz_are_those_of_the_command():
    assert {"--find", "--sweep", "--record", "--reopen", "--json", "--us"} <= set(OPTIONS)
    assert set(QUICK) <= set(NAMES) and CANT == 2

"""The words after a command: what is read, and the one sentence for what can't be."""

import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mechbench.command_line import BAD_LINE, BadLine, Parser, number, one_of, typed
from mechbench.launch import commands

# What makes a line of its own of whatever follows.
PASSES_ON = ("test",)
OWN_GRAMMAR = ("size", "correct", "convert")


def parser():
    made = Parser("paint", description="Paint a thing.")
    made.add_argument("thing", metavar="THING", help="what is painted")
    made.add_argument("--colour", metavar="COLOUR", type=one_of(("red", "green")), help="one of red and green")
    made.add_argument("--coats", metavar="N", type=number, help="how many coats")
    made.add_argument("--dry", action="store_true", help="wait until it is dry")
    return made


@pytest.mark.parametrize(
    "platform, says",
    [("win32", "py -m mechbench"), ("darwin", "python3 -m mechbench"), ("linux", "python3 -m mechbench")],
)
def test_what_a_person_types(platform, says):
    assert typed(platform) == says


def test_what_was_typed_is_given_by_name():
    chosen = parser().parse_args(["door", "--colour=red", "--coats", "-2", "--dry"])
    assert vars(chosen) == {"thing": "door", "colour": "red", "coats": -2.0, "dry": True}
    assert vars(parser().parse_args(["door"])) == {"thing": "door", "colour": None, "coats": None, "dry": False}


@pytest.mark.parametrize(
    "words, says",
    [
        (["door", "--clour", "red"], "There is no option '--clour'; did you mean '--colour'?"),
        (["door", "--dr"], "There is no option '--dr'; did you mean '--dry'?"),
        (["door", "--xyzw=3"], "There is no option '--xyzw'; choose from --help, --colour, --coats, --dry."),
        (["door", "gate"], f"'gate' is one word too many; {typed()} paint --help tells what can be typed."),
        (["door", "--colour"], "--colour needs COLOUR after it: one of red and green."),
        (["door", "--dry=yes"], "--dry takes nothing after it; write it alone."),
        (["door", "--colour", "rde"], "--colour is 'rde', but there is no such one; did you mean 'red'?"),
        (
            ["door", "--colour", "x" * 50],
            f"--colour is '{'x' * 40}…', but there is no such one; choose from red, green.",
        ),
        (["door", "--coats", "many"], "--coats is 'many', but it must be a plain number, such as 90."),
        ([], f"The following arguments are required: THING; {typed()} paint --help tells what can be typed."),
    ],
)
def test_a_line_that_can_not_be_read_is_one_sentence_and_the_code_2(words, says, capsys):
    with pytest.raises(SystemExit) as end:
        parser().parse_args(words)
    assert end.value.code == BAD_LINE == 2
    assert capsys.readouterr() == ("", says + "\n")


def test_words_that_are_left_over_can_be_taken_by_a_grammar_of_ones_own():
    made = Parser("")
    made.add_argument("--dry", action="store_true", help="")
    chosen, left = made.read_known(["a=1", "--dry", "-40deg", "", "-40"])
    assert chosen.dry and left == ["a=1", "-40deg", "", "-40"]


@settings(deadline=None)
@given(
    st.lists(
        st.one_of(
            st.text(), st.sampled_from(["--colour", "--coats", "--dry", "-h", "--", "-", "--coats=1", "3", "red"])
        ),
        max_size=6,
    )
)
def test_no_words_make_more_than_a_refusal(words):
    made = parser()
    try:
        chosen, left = made.read_known(
            [word for word in words if word not in ("-h", "--help") and not word.startswith("-h")]
        )
    except BadLine as fault:
        said = str(fault)
        assert said[-1] in ".?" and "\n" not in said
    else:
        assert isinstance(chosen.thing, str) and len(left) < len(words)


@pytest.mark.parametrize("name", [name for name in commands.COMMANDS if name not in PASSES_ON])
def test_every_command_refuses_an_unknown_option_in_the_same_way(name):
    done = subprocess.run(
        [sys.executable, "-m", "mechbench", name, "--hlep", "something"], capture_output=True, text=True
    )
    assert done.returncode == BAD_LINE and done.stdout == "", done
    assert done.stderr == "There is no option '--hlep'; did you mean '--help'?\n"


@pytest.mark.parametrize("name", [name for name in commands.COMMANDS if name not in (*PASSES_ON, *OWN_GRAMMAR)])
def test_every_command_tells_what_can_be_typed(name, capsys):
    with pytest.raises(SystemExit) as end:
        commands.main([name, "--help"])
    said = capsys.readouterr().out
    assert end.value.code == 0 and said.startswith(f"usage: {typed()} {name} ") and "--help" in said

"""Pages from templates: every text is escaped, nothing runs, and the one style is the one that the policy names.

Outside references: the content policy is that of W3C, "Content Security Policy Level 3", the escapes those of the HTML
standard, section 13.3
(both from memory); Python's own HTML reader takes the pages apart.
"""

import base64
import hashlib
import html.parser
import json
import re

import jinja2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jinja2 import nodes

from mechbench.course.lessons import ROOT
from mechbench.desk.printed_page import OWN, TURNING, page, templates

FOLDERS = sorted({path.parent for path in (ROOT / "mechbench").rglob("*.html")})
TEMPLATES = [(folder, path.name) for folder in FOLDERS for path in sorted(folder.glob("*.html"))]
TRIAL = """{% extends "page.html" %}
{% macro bold(text) %}<b>{{ text }}</b>{% endmacro %}
{% block body %}<p id="{{ text }}">{{ text }}|{{ bold(text) }}|{{ "<i>" ~ text }}|{{ [text] }}|{{ number }}</p>
<script type="application/json">{{ {"text": text} | tojson }}</script>{% endblock %}"""


@pytest.fixture(scope="module")
def trial(tmp_path_factory):
    """A folder with a template of a page."""
    folder = tmp_path_factory.mktemp("templates")
    (folder / "trial.html").write_text(TRIAL)
    (folder / "trial.css").write_text("p { width: {{ number }}mm; }")
    (folder / "pictured.html").write_text(TRIAL.replace("{% macro", "{% set has_pictures = true %}{% macro", 1))
    (folder / "pictured.css").write_text("")
    return folder


def filled(folder, text, name="trial"):
    return "".join(page(folder, name, title=text, text=text, number=3))


class Reader(html.parser.HTMLParser):
    """The tags of a page in order, its attributes, and the text inside each tag."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.texts = [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes += attributes
        self.texts.append("")

    def handle_data(self, data):
        if self.texts:
            self.texts[-1] += data


PLAIN = Reader(
    "".join(
        [
            "<html><head><meta><meta><meta><meta><title></title><style></style></head><body><p><b></b></p><script></script>"
        ]
    )
).tags


@settings(deadline=None)
@given(
    st.one_of(
        st.text(),
        st.lists(
            st.sampled_from(["<", ">", "&", '"', "'", "</script>", "</style>", "{{", "{%", "<!--", "\u202e", "x"])
        ).map("".join),
    )
)
def test_whatever_stands_in_a_text_stays_a_text(trial, text):
    text = "".join(
        sign for sign in text if not "\ud800" <= sign <= "\udfff" and sign not in "\r\0"
    )  # no page can hold these
    read, shown = Reader(filled(trial, text)), TURNING.sub("", text)
    assert read.tags == PLAIN and read.attributes.count(("id", shown)) == 1
    told = dict(zip(read.tags, read.texts))
    assert (
        told["title"] == f"{shown}\n" and told["p"] == f"{shown}|" and told["b"] == f"{shown}|<i>{shown}|{[text]}|3\n"
    )
    assert json.loads(told["script"].strip()) == {"text": text}


def test_a_text_that_is_missing_is_a_fault_and_no_gap(trial):
    with pytest.raises(jinja2.UndefinedError, match="text"):
        "".join(page(trial, "trial", title="", number=3))


@pytest.mark.parametrize("name, images", [("trial", ""), ("pictured", "img-src data:; ")])
def test_the_policy_names_the_one_style_and_allows_pictures_only_where_there_are_some(trial, name, images):
    text = filled(trial, "x", name)
    style = re.search("<style>(.*)</style>", text, re.DOTALL).group(1)
    digest = base64.b64encode(hashlib.sha256(style.encode("utf-8")).digest()).decode("ascii")
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; {images}base-uri 'none'; form-action 'none'"
    assert f'<meta http-equiv="Content-Security-Policy" content="{policy}">' in text
    assert style.startswith("/* Blue-green") and (style.endswith("p { width: 3mm; }") or name == "pictured")


def test_a_page_is_given_piece_by_piece(trial):
    (trial / "long.html").write_text(
        '{% extends "page.html" %}{% block body %}{% for one in many %}[{{ one }}]{% endfor %}{% endblock %}'
    )
    (trial / "long.css").write_text("")
    asked = []
    many = (asked.append(number) or number for number in range(1000))
    pieces = page(trial, "long", title="", many=many)
    assert next(pieces).startswith("<!doctype html>") and asked == []
    assert "".join(pieces).count("[999]") == 1 and len(asked) == 1000


@pytest.mark.parametrize("folder, name", TEMPLATES, ids=[name for _, name in TEMPLATES])
def test_no_template_switches_the_escaping_off(folder, name):
    known = templates(folder)
    assert known.autoescape is True and known.undefined is jinja2.StrictUndefined
    tree = known.parse((folder / name).read_text(encoding="utf-8"))
    used = {node.name for node in tree.find_all(nodes.Filter)}
    assert not used & {"safe", "forceescape", "xmlattr", "replace"} and used <= {"base64", "tojson", "format"}
    assert not list(tree.find_all((nodes.EvalContextModifier, nodes.ScopedEvalContextModifier, nodes.MarkSafe)))
    assert not re.search(r"https?:|//|url\(|\bon[a-z]+=|style=", (folder / name).read_text(encoding="utf-8"))
    assert name == "page.html" or (folder / name).read_text(encoding="utf-8").startswith('{% extends "page.html" %}\n')


def test_every_template_has_its_style_and_the_frame_stands_once():
    assert [folder for folder, name in TEMPLATES if name == "page.html"] == [OWN] and len(TEMPLATES) == 5
    for folder, name in TEMPLATES:
        style = (folder / name).with_suffix(".css").read_text(encoding="utf-8")
        assert style and "@import" not in style and "url(" not in style

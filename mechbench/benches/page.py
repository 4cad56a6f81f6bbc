"""The pieces of HTML on a bench: its style, the verdict, the table of findings; and the picture as an address.

Contents: FOCUS, WAITS, STYLE, mark_of, address, verdict, beside, problem, table, compared, line_of, waiting, told,
status, first. Text from a kit or from a learner is escaped here.
"""

from base64 import b64encode
from html import escape

from mechbench.engine import report_text, side_by_side
from mechbench.quantity import unbroken
from mechbench.wording import on_one_line, together

# Where the keyboard is, for every box of ours with the class `mechbench-focus`: 3 px in a colour that stands out from
# light and dark ground (more than 3 to 1, WCAG 2.1, 1.4.11). JupyterLab's own line is thin and pale, and only
# !important goes before it.
FOCUS = """<style>
.mechbench-focus :is(button, input, select, [role=slider]):focus-visible {
  outline: 3px solid var(--jp-brand-color1, #0072B2) !important; outline-offset: -1px !important; }
.mechbench-focus :is([role=slider], [type=radio]):focus-visible { outline-offset: 1px !important; }
/* On dark ground JupyterLab leaves the arrow of a list black; the browser draws its own light one. */
[data-jp-theme-light=false] .mechbench-focus select { appearance: auto; background-image: none; color-scheme: dark; }
</style>"""

WAITS = "mb-waits"  # class of what tells numbers of a design before, while a new one is judged

# Colours come from JupyterLab's own theme where there is one, so that the page is light or dark as its surroundings
# are.
STYLE = """<style>
.mechbench { --mb-ink: var(--jp-content-font-color1, #1b1f24); --mb-quiet: var(--jp-content-font-color2, #59626c);
  --mb-line: var(--jp-border-color2, #c8ced5); --mb-soft: var(--jp-layout-color2, #f1f3f5);
  color: var(--mb-ink); max-width: 1100px; overflow: hidden; font-size: 14px; container-type: inline-size; }
/* Controls at the left and picture at the right, where there is room for both: on a low screen the whole picture is
   seen while a slider moves. Else the picture stands below. */
.mechbench:is(*, .widget-vbox) { flex-flow: row wrap; align-items: flex-start; gap: 0 24px; }
.mechbench .mb-seen { flex: 100 1 580px; max-width: min(100%, 772px); overflow: visible; container-type: inline-size; }
.mechbench .mb-groups { flex: 1 1 280px; min-width: 0; max-width: min(100%, 772px); display: flex; flex-wrap: wrap;
  gap: 4px 28px; overflow: visible; }
.mechbench .mb-group { flex: 1 1 270px; min-width: 0; max-width: 100%; overflow: visible; }
.mechbench .mb-head { font-weight: 600; border-bottom: 2px solid var(--mb-line); margin-bottom: 2px; line-height: 1.7; }
.mechbench .mechbench-control { overflow: visible; margin: 2px 0; }
.mechbench .mechbench-control > * { width: auto; margin: 0 2px; }
.mechbench .mechbench-control .widget-label { width: auto; flex: 1 1 auto; text-align: left; font-size: 14px;
  white-space: normal; line-height: 1.25; align-self: center; height: auto; overflow: visible; }
.mechbench .mechbench-control :is(.widget-text, .widget-dropdown) { height: auto; min-height: 28px; }
.mechbench .mechbench-control :is(input, select) { height: 28px; }
.mechbench .mechbench-control .widget-text input { flex: 0 0 112px; width: 112px; text-align: right; font-size: 14px; }
/* A list is as wide as its longest choice. Where its label does not fit beside it, the list stands below. */
.mechbench .mechbench-control .widget-dropdown { flex-wrap: wrap; }
.mechbench .mechbench-control .widget-dropdown select { flex: 0 1 min-content; min-width: 112px; max-width: 100%;
  width: min-content; margin-left: auto; font-size: 14px; }
/* A list of teeth has short choices: it fits beside its label. */
.mechbench .mechbench-control .mechbench-control .widget-dropdown select { min-width: 64px; }
.mechbench .mechbench-control .widget-slider { height: 22px; margin: 0 10px; }
.mechbench .mb-stage { position: relative; overflow: visible; margin: 0; }
/* A picture's own slider stands beside its label and box: a low screen has width to spare, but no height. */
.mechbench .mb-seen .mechbench-control:is(*, .widget-vbox) { flex-flow: row wrap; align-items: center; }
.mechbench .mb-seen .mechbench-control .widget-text { flex: 0 1 auto; }
.mechbench .mb-seen .mechbench-control .widget-text .widget-label { flex: 0 1 auto; margin-right: 10px; }
.mechbench .mb-seen .mechbench-control .widget-slider { flex: 1 1 200px; }
.mechbench .mb-picture { border: 1px solid var(--mb-line); margin: 4px 0; width: 100%; height: auto;
  object-fit: contain; }
/* The picture is there on light and on dark paper; the one that goes with the page's theme is seen. */
.mechbench .mb-on-dark, [data-jp-theme-light=false] .mechbench .mb-on-light { display: none; }
[data-jp-theme-light=false] .mechbench .mb-on-dark { display: inline-block; }
.mechbench .mb-verdict { display: flex; gap: 10px; padding: 5px 10px; margin: 4px 0 0; background: var(--mb-soft);
  border-left: 6px solid var(--mb-bar); font-size: 15px; line-height: 1.4; }
.mechbench .mb-mark { font-weight: 700; font-size: 17px; }
.mechbench .mb-fits { --mb-bar: #009E73; } .mechbench .mb-close { --mb-bar: #E69F00; }
.mechbench .mb-fails { --mb-bar: #D55E00; } .mechbench .mb-wrong { --mb-bar: #CC79A7; }
.mechbench .mb-bad { color: var(--mb-quiet); padding: 2px 10px 0 16px; line-height: 1.4; }
/* Room for the longest sentence, so that the picture below stays where it is. */
.mechbench .mb-said { min-height: 6em; }
/* What is told of the numbers before: grey after a moment, so that nothing flickers where the new ones come soon. */
.mechbench .mb-waits > .widget-html { opacity: 0.45; transition: opacity 0s linear 0.15s; }
@container (max-width: 680px) { .mechbench .mb-said { min-height: 7.4em; } }
@container (max-width: 560px) { .mechbench .mb-said { min-height: 8.6em; } }
.mechbench .mb-row { flex-wrap: wrap; align-items: center; gap: 2px 14px; overflow: visible; }
.mechbench .mb-row .widget-toggle-buttons { display: flex; flex-direction: row; align-items: center; width: auto; }
.mechbench .mb-row .widget-toggle-buttons .widget-label { width: auto; color: var(--mb-quiet); margin-right: 4px; }
.mechbench .mb-row button { width: auto; height: 26px; line-height: 24px; padding: 0 9px; font-size: 13px; }
.mechbench table.mb-numbers { border-collapse: collapse; margin: 4px 0; font-size: 14px; }
.mechbench table.mb-numbers th, .mechbench table.mb-numbers td { text-align: right; padding: 3px 10px;
  border-bottom: 1px solid var(--mb-line); vertical-align: top; line-height: 1.35; }
.mechbench table.mb-numbers th:first-child, .mechbench table.mb-numbers td:first-child { text-align: left; }
.mechbench table.mb-compared { font-size: 13px; }
.mechbench table.mb-compared :is(th, td) { padding: 3px 6px; }
.mechbench table.mb-compared td:first-child { min-width: 9.5em; }
.mechbench table.mb-compared th[colspan] { text-align: center; }
.mechbench table.mb-compared tr:nth-child(2) th { text-align: right; }
.mechbench .mb-told { padding: 4px 10px; margin: 2px 0; border-left: 6px solid var(--mb-line); line-height: 1.4; }
.mechbench .mb-offers .mb-row { flex-wrap: nowrap; align-items: flex-start; }
.mechbench .mb-offers button { flex: 0 0 auto; max-width: 50%; height: auto; min-height: 26px; white-space: normal;
  text-align: left; line-height: 1.4; padding: 2px 9px; }
.mechbench .mb-offers .widget-html { flex: 1 1 auto; min-width: 0; }
.mechbench .mb-quiet { color: var(--mb-quiet); font-size: 13px; }
</style>"""

FITS, CLOSE, FAILS = ("fits", "\u2714"), ("close", "\u2248"), ("fails", "\u2718")
OPEN = ("close", "?")
LEFT = ' style="text-align: left"'  # for tables that stand outside a bench, whose style is not there


def mark_of(report):
    """How the verdict is marked, a kind (for the colour) and a sign: they say the same as its words."""
    if not report.known:
        return OPEN
    if not report.works:
        return FAILS
    return FITS if report.joint_margin >= report_text.CLOSE else CLOSE


def address(png):
    """A PNG as an address that holds the picture itself: the page shows it a few milliseconds sooner than bytes."""
    return b"data:image/png;base64," + b64encode(png)


def verdict(report, system):
    """The verdict sentence with its mark, and the one line on a bad day."""
    (kind, mark), sentence = mark_of(report), report_text.verdict(report, system)
    bad = report_text.bad_day_line(report, system)
    said = _box(kind, "status", mark, sentence) if sentence else ""
    return said + beside(bad)


def beside(sentence):
    """What is told beside the verdict, as what stands in for that which the kit lacks; nothing where that is empty."""
    return f'<div class="mb-bad">{escape(unbroken(sentence))}</div>' if sentence else ""


def problem(sentence):
    """What is wrong with the inputs, in the verdict's place."""
    return _box("wrong", "alert", "!", sentence)


def _box(kind, role, mark, sentence):
    mark = f'<span class="mb-mark">{mark}</span>'
    return f'<div class="mb-verdict mb-{kind}" role="{role}">{mark}<span>{escape(unbroken(sentence))}</span></div>'


def table(report, system):
    """All findings on a good and on a bad day beside what is asked, and what hurts most."""
    rows = []
    for finding in report.sizing.FINDINGS:
        asked = report_text.asked(report, finding, system)
        cells = [_cell(finding, *day) for day in report_text.both_days(report, finding, system)]
        label = f'{escape(finding.label)}<br><span class="mb-quiet">{escape(finding.help)}</span>'
        rows.append(
            f"<tr><td>{label}</td>"
            + "".join(f"<td>{cell}</td>" for cell in (*cells, escape(on_one_line(asked))))
            + "</tr>"
        )
    head = "".join(f"<th>{text}</th>" for text in ("Found", "Good day", "Bad day", "Asked"))
    hurts = report_text.hurts(report)
    below = f"<div>{escape(hurts)}</div>" if hurts else ""
    return f'<table class="mb-numbers"><tr>{head}</tr>{"".join(rows)}</table>{below}'


def compared(reports, system, only=()):
    """All findings of several designs side by side, or only some by name; A first, each other one with its mark beside
    A.
    """
    letters = side_by_side.LETTERS[: len(reports)]
    day = "".join(f'<th scope="col">{letter}</th>' for letter in letters)
    over = "".join(f'<th colspan="{len(letters)}" scope="colgroup">{text}</th>' for text in ("Good day", "Bad day"))
    head = f'<tr><th rowspan="2"{LEFT}>Found</th>{over}<th rowspan="2">Asked</th></tr><tr>{day}{day}</tr>'
    rows = (
        line_of(row.finding.label, *(_beside_a(row, cell) for cell in (*row.good, *row.bad)), together(row.asked))
        for row in side_by_side.rows(reports, system)
        if not only or row.finding.name in only
    )
    return f'<table class="mb-numbers mb-compared">{head}{"".join(rows)}</table>'


def line_of(*cells, typed=None):
    """A row of a table, from texts; typed: the same as they can be typed, told where they are others."""
    titles = [f' title="type: {escape(other, quote=True)}"' if other else "" for other in typed or [""] * len(cells)]
    titles[0] += LEFT
    return f"<tr>{''.join(f'<td{title}>{escape(cell)}</td>' for cell, title in zip(cells, titles))}</tr>"


def _beside_a(row, cell):
    """'0.74 s ✔ + better'; a narrow page breaks it before the plus."""
    met = (FITS if cell.met else FAILS)[1] if row.finding.sense else ""
    return f"{together(f'{cell.text} {met}'.strip())} {together(str(cell.mark or ''))}".strip()


def waiting(said):
    """How far a search is."""
    return f'<div class="mb-quiet" role="status">{escape(said)} …</div>'


def told(said, role=""):
    """Sentences below the picture; with the role "status" they are read out as soon as they change."""
    live = f' role="{role}"' if role else ""
    return f'<div class="mb-told"{live}>{escape(together(said))}</div>' if said else ""


def status(said):
    """Sentences that a search gives."""
    return told(said, "status")


def first(found, words, system):
    """Which part first, by the words for it: the verdict, the table of the best, and what was tried."""
    head = "".join(f"<th>{escape(text)}</th>" for text in words.HEADS)
    rows = "".join(
        f"<tr><td>{escape(change)}</td>{''.join(f'<td>{escape(on_one_line(cell))}</td>' for cell in numbers)}</tr>"
        for change, *numbers in words.rows(found, system)
    )
    table = f'<table class="mb-numbers"><tr>{head}</tr>{rows}</table>' if rows else ""
    below = "".join(f'<div class="mb-quiet">{escape(said)}</div>' for said in words.more(found, system))
    return f'<div role="status"><b>{escape(words.verdict(found, system))}</b></div>{table}{below}'


def _cell(finding, text, met):
    return escape(on_one_line(f"{text} {(FITS if met else FAILS)[1]}" if finding.sense else text))

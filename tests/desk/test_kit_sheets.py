"""A kit from a spreadsheet's tables, as spreadsheets write them: semicolons, decimal commas, marks, empty rows; and
every fault with file, row and column, all at once.
"""

import csv
import tomllib
from pathlib import Path

import pytest

from mechbench.desk import kit_command
from mechbench.desk import kit_outline as outline
from mechbench.kits import read_kit
from mechbench.kits.schema import SHAPES
from tests.desk.asked import ask, is_one_sentence

EXPANDED = [table for table, shape in SHAPES.items() if shape.expand]  # one row makes many parts
KITS = Path(__file__).parents[1] / "kits"
GAME = {
    "game.csv": "key,value\nlabel,Felt Race\n",
    "phases.csv": "label,kind,time\n,self_driving,15 s\n,driven,2 min\n",
    "pieces.csv": "label,shape,diameter,thickness,mass,count\nfelt disc,disc,120 mm,8 mm,55 g,40\n",
    "goals.csv": "label,kind,takes,height,points,way\nWest loom,slot,felt disc,430 mm,4,1.2 m\n",
}


@pytest.fixture(autouse=True)
def place(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MECHBENCH_WORK", str(tmp_path / "work"))
    return tmp_path


def tables(place, **more):
    """Write the tables, with others in place of some; bytes as they are."""
    folder = place / "tables"
    folder.mkdir(exist_ok=True)
    for name, text in (GAME | {f"{name}.csv": text for name, text in more.items()}).items():
        (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return folder


def new(line="new ours --from tables"):
    return ask(line, kit_command)


def game(place):
    return tomllib.loads((place / "ours" / "game.toml").read_text(encoding="utf-8"))


def test_filled_tables_make_a_kit(place):
    tables(place)
    said = new()
    assert said.code == 0 and "Fine: Felt Race kit" in said.out, said
    assert game(place) == {
        "game": {"label": "Felt Race"},
        "phases": {
            "self_driving": {"kind": "self_driving", "time": "15 s"},
            "driven": {"kind": "driven", "time": "2 min"},
        },
        "pieces": {
            "felt_disc": {
                "label": "felt disc",
                "shape": "disc",
                "diameter": "120 mm",
                "thickness": "8 mm",
                "mass": "55 g",
                "count": 40,
            }
        },
        "goals": {
            "west_loom": {
                "label": "West loom",
                "kind": "slot",
                "takes": ["felt_disc"],
                "height": "430 mm",
                "points": 4,
                "way": "1.2 m",
            }
        },
    }


ODD = (
    "label;Shape;diameter [mm]; thickness ;mass [g];count;;\r\n# help;;;;;;;\r\n;;;;;;;\r\n"
    " felt  disc ;Disc;120,5; 8 mm;55;40;;\r\n"
)


@pytest.mark.parametrize(
    "written",
    [
        ODD.encode("utf-8-sig"),
        ("sep=;\r\n" + ODD).encode("cp1252"),
        ODD.replace(";", "\t").encode("utf-16"),
        ODD.replace(",", "\x00").replace(";", ",").replace("120\x005", '"120,5"').encode(),
        ODD.replace(" felt  disc ", '"felt\xa0disc"').encode(),
    ],
    ids=["mark in front", "separator told", "tabs, 16 bits", "commas and a quoted number", "hard blank"],
)
def test_what_spreadsheets_write(place, written):
    tables(place, pieces=written)
    assert new().code == 0
    piece = read_kit(place / "ours").game.pieces["felt_disc"]
    assert (piece.diameter, piece.thickness, piece.mass, piece.count) == pytest.approx((0.1205, 0.008, 0.055, 40))


def test_every_fault_at_once_with_file_row_and_column(place):
    tables(
        place,
        pieces="label,shape,diameter,thickness,mass,count,wieght\nfelt disc,disc,120 mm,8 mm,55 kg,40,1\n",
        phases="label,kind,time\n,driven,9 h\n",
        goals="label,kind,height,points,way\nWest loom,slot,43,4,1.2 m\nEast,shlef,1 m,x,1 m\n,bin,1 m,3,1 m\n"
        ",,1 m,2,3 m\n",
        battery="key,value\nnominal,12\nlable,Pack\n",
        pices="label\nx\n",
    )
    said = new()
    assert said.code == 1 and not (place / "ours").exists()
    told = said.err.splitlines()
    for start in (
        'pieces.csv, row 1, column 7, names "wieght", which is no key of pieces',
        'pieces.csv, row 2, column mass is "55 kg", but it must be from 1 g to 20 kg',
        'phases.csv, row 2, column time is "9 h", but it must be from 0 s to 1 h',
        "goals.csv, row 2, column height is 43 without a unit",
        'goals.csv, row 3, column kind is "shlef", but it must be one of',
        "goals.csv, row 3, column points: 'x' has no number",
        "goals.csv, row 5, has no label",
        'pices.csv is no table of a kit; did you mean "pieces"?',
        'battery.csv, row 3, names "lable", which is no key of battery; did you mean "label"?',
    ):
        assert any(line.startswith(start) for line in told), (start, told)
    assert all(is_one_sentence(line + "\n") for line in told)


def test_what_contradicts_is_told_by_row_too(place):
    tables(
        place,
        pieces="label,shape,diameter,mass,count\nfelt disc,ball,80 mm,55 g,9\n",
        places="label,kind,pieces,way,gap,depth\nPen,pen,felt disc,1 m,50 mm,200 mm\n",
        battery="key,value\n" + "\n".join(f"{key},{value}" for key, value in BATTERY.items()) + "\n",
        goals="label,kind,takes,height,points,way\nloom,slot,felt disk,430 mm,4,1.2 m\neast,bin,,1 m,1,1 m\n",
    )
    said = new()
    assert said.code == 1 and not (place / "ours").exists()
    told = said.err
    assert "places.csv, row 2, column gap is 50 mm, but a felt disc is 80 mm at its narrowest" in told
    assert "battery.csv, open_circuit_empty is more than open_circuit" in told
    assert (
        'goals.csv, row 2, column takes has "felt disk", which is no entry of [pieces]; did you mean "felt_disc"?'
        in told
    )


BATTERY = {
    "label": "Pack",
    "nominal": "12 V",
    "capacity": "3 A·h",
    "open_circuit": "11 V",
    "open_circuit_empty": "11.8 V",
    "resistance": "0.1 ohm",
    "resistance_worn": "0.2 ohm",
    "mass": "0.5 kg",
}


@pytest.mark.parametrize("wide", [False, True])
def test_a_record_may_be_two_columns_or_one_row(place, wide):
    good = BATTERY | {"open_circuit": "13,1 V"}
    row = ";".join(good) + "\n" + ";".join(good.values()) + "\n"
    tables(place, battery=row if wide else "\n".join(["key;value", *map(";".join, good.items())]))
    assert new().code == 0
    assert read_kit(place / "ours").battery.open_circuit == pytest.approx(13.1)


def test_empty_tables_can_be_filled_row_by_row(place):
    said = new("new --tables tables --semicolons")
    assert said.code == 0 and "kit new our_kit --from" in said.out
    for table, shape in SHAPES.items():
        text = (place / "tables" / f"{table}.csv").read_bytes()
        rows = list(csv.reader(text.decode("utf-8-sig").splitlines(), delimiter=";"))
        keys = [row[0] for row in rows[1:]] if shape.single else rows[0]
        helps = [row[2] for row in rows[1:]] if shape.single else rows[1][-len(shape.entries) :]
        named = keys[len(keys) - len(shape.entries) :]
        folded = [key.replace(" ", "_") for key in named]
        titles = [entry.title.replace(" ", "_") or key for key, entry in shape.entries.items()]
        assert text.startswith(b"\xef\xbb\xbf")
        assert all(one in both for one, both in zip(folded, zip(shape.entries, titles), strict=True)), table
        assert len({*shape.entries} & {*titles} - {"name"}) == sum(
            one == key for one, key in zip(titles, shape.entries)
        )
        alone = {told: entry.of for told, entry in zip(helps, shape.entries.values()) if entry.of}
        assert all(f"; for {' and '.join(of)} alone" in told for told, of in alone.items())
        asked = [outline.entry(table, key) for key in shape.entries]
        assert all(entry.help in told for entry, told in zip(asked, helps, strict=True))
    assert "are all empty" in new().err
    for name, text in GAME.items():
        path = place / "tables" / name
        mine = [line.split(",") for line in text.splitlines()]
        if name == "game.csv":
            path.write_text(path.read_text("utf-8-sig").replace("name;;", "name;Felt Race;"), encoding="utf-8-sig")
        else:
            keys = path.read_text("utf-8-sig").splitlines()[0].split(";")
            entries = SHAPES[path.stem].entries
            headings = [entries[key].title or key for key in mine[0]]
            more = [";".join(dict(zip(headings, row)).get(key, "") for key in keys) for row in mine[1:]]
            path.write_text(path.read_text("utf-8-sig") + "\n".join(more) + "\n", encoding="utf-8-sig")
    assert new().code == 0 and game(place)["goals"]["west_loom"]["points"] == 4
    assert "already holds game.csv" in new("new --tables tables").err


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"pieces": b"label;mass\n\x00\xff;;;\n"}, "pieces.csv"),
        ({"goals": "label,label\nx,y\n"}, "names label a second time"),
        ({"goals": 'label,kind\n"x\n'}, "goals.csv"),
        (
            {"field": "length,width\n4 m,4 m\n5 m,5 m\n"},
            "field.csv, row 3: there is one field alone; take the row out.",
        ),
        (
            {"field": "length,width\n4 m,3 m,7\n"},
            'field.csv, row 2, column 3, is "7", but the first row names no key there',
        ),
        ({"friction": "name,label,value\nSlide Rail,x,0.2\n"}, 'column name, is "Slide Rail"; a name starts with'),
        ({"friction": "name,label,value\nrail,x,0.2\nrail,y,0.2\n"}, 'is "rail" a second time; change one.'),
        ({"goals": 'label,kind,height,points,way\nx,bin,"1,234 mm",1,1 m\n'}, "goals.csv, row 2, column height"),
    ],
)
def test_odd_files_get_a_sentence(place, given, said):
    tables(place, **given)
    done = new()
    assert done.code == 1 and said in done.err and not (place / "ours").exists()


def test_two_of_one_label_are_told_by_their_rows(place):
    tables(place, goals="label,kind,takes,height,points,way\nloom,slot,,430 mm,4,1.2 m\nloom,bin,,1 m,1,1 m\n")
    assert 'goals.csv, row 2 and goals.csv, row 3, both give a part with the label "loom"; change one.' in new().err


def test_the_words_of_the_dialogue_do_in_cells_too(place):
    """Titles as columns, shares, lists, measured grip, and words for nothing."""
    tables(
        place,
        pieces="name,more than one,shape,diameter,thickness,mass,count,share that lies\n"
        "felt disc,felts,a disc,120 mm,8 mm,55 g,40,10 %\n",
        places="name,kind,pieces,how many there,way from the middle,opening,depth\nmiddle,open,felts,all,1 m,-,-\n",
        goals="name,kind,pieces,height,points,way from the middle,most for one robot\n"
        "loom,a slot,felts,430 mm,4 points,1.2 m,no limit\n",
        human="name,what is done,quickest,usual time,slowest,when,pieces\nfind one,find,0,1 s,3 s,,all\n",
        limits="start box,pieces held,mass\n480 x 480 x 420 mm,two,don't know\n",
        gearboxes="label\nnone\n",
        slides="label\nNone\n",
        motors="label\nnone\n",
        wheels="label,kind,diameter,width,mass,grip\ntyre,traction,92 mm,24 mm,105 g,0.95\n",
        field="floor\nrubber tiles\n",
        fuse="key,value\nrating,20 A\ncurrents over rating,don't know\n",
    )
    said = new()
    assert said.code == 0, said.err
    ours = read_kit(place / "ours")
    assert ours.game.pieces["felt_disc"].lying_share == 0.1 and ours.game.pieces["felt_disc"].plural == "felts"
    assert ours.game.goals["loom"].takes == ("felt_disc",) and ours.game.goals["loom"].capacity == float("inf")
    assert (ours.game.limits.hold, ours.game.limits.mass) == (2, float("inf"))
    assert ours.table("wheels").row("tyre")["along"] == ours.table("wheels").row("tyre")["across"] == 0.95
    assert ours.friction("tyre_along") == 0.95 and "motors" in ours.borrowed and ours.fuse.rating == 20.0
    assert ours.without == ("gearboxes", "slides") and "The team has none: gearboxes, slides of a lift." in said.out
    assert said.out.count("slides of a lift") == 1, "told once: of what the team has none, nothing is called borrowed"
    assert "motors.csv, row 2: the course's own stand in where you name no gearmotor" in said.out


def test_a_name_that_a_part_of_the_course_has_is_free_for_the_team(place):
    """The course has a servo named quick, which stands in for the team's; a gearmotor of that label is no fault."""
    tables(
        place,
        gearmotors="label,voltage,output speed,output stall,stall current\nquick,12 V,312 rpm,2.1 N·m,9.2 A\n",
        gearboxes="name\nnone\n",
    )
    said = new()
    assert said.code == 0, said.err
    ours = read_kit(place / "ours")
    assert "quick" in ours.table("servos").names and list(ours.table("motors").labels.values()) == ["quick"]


def test_what_must_be_there_can_not_be_told_away(place):
    tables(place, pieces="label,shape,diameter,thickness,mass,count\nfelt disc,disc,120 mm,8 mm,don't know,40\n")
    assert "pieces.csv, row 2, column mass, says don't know, but it must be there (mass of one piece)" in new().err


def test_friction_goes_by_name(place):
    tables(place, friction="name;label;value\nslide_rail;our rail;0,21\n")
    assert new().code == 0 and read_kit(place / "ours").friction("slide_rail") == pytest.approx(0.21)


@pytest.mark.parametrize("kit", ["second_kit", "flat", "bare"])
def test_any_kit_written_as_tables_comes_back_with_all_its_numbers(place, kit):
    source = KITS / kit
    (place / "tables").mkdir()
    for file in ("game.toml", "parts.toml"):
        text = (source / file).read_text(encoding="utf-8") if (source / file).exists() else ""
        for table, content in tomllib.loads(text).items():
            path = place / "tables" / f"{table}.csv"
            path.write_text(as_csv(table, content), encoding="utf-8-sig")
    said = new()
    assert said.code == 0, said.err
    old, ours = read_kit(source), read_kit(place / "ours")
    for table in old.tables():
        rows = {name: old.table(table).row(name) for name in old.table(table).names}
        assert old.table(table).usual == ours.table(table).usual or table in EXPANDED
        assert rows == {name: ours.table(table).row(name) for name in ours.table(table).names}
    for table in ("pieces", "places", "goals", "bonuses", "obstacles", "human", "closing", "phases"):
        was, now = getattr(old.game, table), getattr(ours.game, table)
        assert {name: repr(vars(was[name])["_values"]) for name in was} == {
            name: repr(vars(now[name])["_values"]) for name in now
        }
    assert repr(vars(old.battery)["_values"]) == repr(vars(ours.battery)["_values"])


def as_csv(table, content):
    """A table of a TOML file as a spreadsheet would hold it, with semicolons."""
    cell = lambda value: f'"{"; ".join(map(str, value))}"' if isinstance(value, list) else str(value)
    if SHAPES[table].single:
        return "key;value\n" + "".join(f"{key};{cell(value)}\n" for key, value in content.items())
    every = content.get("every", {})
    rows = {name: every | one for name, one in content.items() if name not in ("every", "usual")}
    if "usual" in content and content["usual"] in rows:
        rows[content["usual"]] = rows[content["usual"]] | {"usual": "x"}
    keys = ["name", *dict.fromkeys(key for row in rows.values() for key in row)]
    lines = [[cell((row | {"name": name}).get(key, "")) for key in keys] for name, row in rows.items()]
    return "\n".join(";".join(line) for line in [keys, *lines]) + "\n"


def test_nothing_is_written_over(place):
    tables(place)
    assert new().code == 0
    before = (place / "ours" / "game.toml").read_bytes()
    assert new().code == 1 and (place / "ours" / "game.toml").read_bytes() == before
    assert "There is no folder" in new("new b --from nowhere").err
    (place / "empty").mkdir()
    assert "holds no CSV file" in new("new b --from empty").err

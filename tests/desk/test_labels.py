"""The words that a page shows for a part are taken as input, too."""

import re

import pytest

import mechbench as mb
from mechbench.catalog import NAMES, sizing_of
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Pick
from tests.desk.asked import ask


@pytest.mark.parametrize("name", NAMES)
def test_every_label_is_its_part_where_no_other_has_it(name):
    tables = Tables(sizing_of(name))
    for pick in (f for f in sizing_of(name).FIELDS if isinstance(f, Pick)):
        labels = tables(pick.table).labels
        for part in pick.options(tables)[:40]:
            label = labels.get(part, part)
            alone = [one for one in labels.values() if one.lower().split() == label.lower().split()] == [label]
            if alone and label.lower() not in pick.options(tables):
                assert pick.read(label, tables) == pick.read(f" {label.upper()} ", tables) == part


def test_a_label_is_taken_in_calls_and_in_a_line():
    by_name = mb.size("arm", gearbox="planetary_16", motor="stout")
    labels = {
        f: by_name.tables(sizing_of("arm").field(f).table).labels[by_name.values[f]] for f in ("gearbox", "motor")
    }
    assert labels["gearbox"] != "planetary_16"
    assert mb.size("arm", **labels).values == by_name.values
    assert mb.against("arm", gearbox=[labels["gearbox"], "planetary_74"])["gearbox"][0] == "planetary_16"
    assert mb.bench("arm", **labels).values == by_name.values
    assert "planetary_16" in ask(["arm", f"gearbox={labels['gearbox']}"]).out


def test_a_page_shows_what_can_be_typed_and_where_all_that_fit_are():
    found = mb.find("arm", "motor,gearbox", payload="0.5 kg")
    page = found._repr_html_()
    for name, part in found.best[0].choice.items():
        assert f'title="type: {part}"' in page, name
    assert len(found.fitting) > len(found.best)
    assert f"found.fitting has all {len(found.fitting)}" in page
    assert re.search(
        r'title="type: planetary_74"', mb.against("arm", gearbox=["planetary_56", "planetary_74"])._repr_html_()
    )

"""From a source in solutions/ to the lesson in lessons/: a change of JSON, nothing is run.

derive          source -> lesson
differences     what a stored lesson has otherwise than it should
TAGS            the tags that a cell may have
"""

import copy
import itertools

from mechbench.course.notebook import tags_of

# A tag that is not here is a slip of the pen, by which a mentor's note could reach the learners.
MENTOR, ANSWER, BANNER, CAUTION = "mentor", "answer", "solution-banner", "caution"
TAGS = {
    MENTOR: "a note for mentors; the lesson has no such cell",
    ANSWER: "a worked answer; in the lesson an empty cell for the learner's own",
    BANNER: "says at the top that this is the edition with answers; the lesson has no such cell",
    CAUTION: "the box of cautions, one a lesson",
}
LEFT_OUT = {MENTOR, BANNER}
BESIDE = "](../lessons/"  # how a source links to a notebook that stands beside its lesson
PROMPTS = {"code": "# Your answer here", "markdown": "*Your answer here*"}


def derive(source):
    """Give the lesson of a source, not yet run. Ids, tags and metadata stay.

    A cell tagged "answer" keeps only its prompt: `metadata.mechbench.prompt`, or else "Your answer here". A link to
    ../lessons/quick_reference.ipynb becomes one to quick_reference.ipynb, which stands beside the lesson.
    """
    lesson = copy.deepcopy(source)
    lesson["cells"] = [cell for cell in lesson["cells"] if LEFT_OUT.isdisjoint(tags_of(cell))]
    for cell in lesson["cells"]:
        if ANSWER in tags_of(cell):
            cell["source"] = cell["metadata"].get("mechbench", {}).get("prompt") or PROMPTS[cell["cell_type"]]
        if cell["cell_type"] == "markdown":
            cell["source"] = cell["source"].replace(BESIDE, "](")
        if cell["cell_type"] == "code":
            cell["outputs"], cell["execution_count"] = [], None
    return lesson


def differences(should, stored):
    """List where a stored notebook differs in cells, ids, texts, tags or metadata; outputs may differ."""
    found = []
    if should["metadata"] != stored["metadata"]:
        found.append("the notebook's metadata differ")
    ids = [[cell["id"] for cell in notebook["cells"]] for notebook in (should, stored)]
    for wanted, there in itertools.zip_longest(*ids):
        if wanted != there:
            return [*found, f"cell {there or 'none'} stands where {wanted or 'none'} belongs"]
    for wanted, there in zip(should["cells"], stored["cells"]):
        found += [
            f"cell {there['id']}: its {part} differs"
            for part in ("cell_type", "source", "metadata")
            if wanted[part] != there[part]
        ]
    return found

"""What packages say that they need, against the reference reader of these lines, the library packaging (PEP 508, PEP 503)."""

from importlib import metadata

import pytest
from packaging.markers import Marker
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from mechbench.launch.needs import holds, plain, read_need
from mechbench.launch.wheels import PLATFORMS, Target

LINES = sorted({line for package in metadata.distributions() for line in package.requires or ()})
MACHINES = [Target(platform, python).machine(extra) for platform in PLATFORMS for python in ("3.11", "3.14") for extra in ("", "test")]


def test_there_are_many_lines_to_try():
    assert len(LINES) > 300 and sum(";" in line for line in LINES) > 100


def test_every_line_of_every_package_here_is_read_as_the_reference_reads_it():
    for line in LINES:
        found, reference = read_need(line), Requirement(line)
        assert found.name == canonicalize_name(reference.name)
        assert set(found.extras) == {canonicalize_name(extra) for extra in reference.extras}
        assert {str(bound).replace(" ", "") for bound in reference.specifier} == set(found.bounds), line


def test_every_marker_holds_where_the_reference_says_so():
    tried = 0
    for line in LINES:
        marker = Requirement(line).marker
        for machine in MACHINES if marker else ():
            assert holds(read_need(line).marker, machine) == marker.evaluate(machine), (line, machine)
            tried += 1
    assert tried > 1000


@pytest.mark.parametrize("text", [
    'python_version < "3.9"', "python_version<='3.11'", 'python_full_version >= "3.11.0"', 'python_version == "3.11.0"',
    '"linux" in sys_platform', 'sys_platform not in "win32 cygwin"', 'os_name != "nt" and (platform_machine == "x86_64" or extra == "test")',
    'extra == "TEST"', 'python_version > "3.9" and python_version < "3.100"',
])  # fmt: skip
def test_markers_of_every_shape(text):
    for machine in MACHINES:
        assert holds(text, machine) == Marker(text).evaluate(machine)


@pytest.mark.parametrize("text", ['python_version ~= "3.11"', "open('x')", "__import__('os').system('x')", "nonsense ==", "unknown == 'x'",
                                  '"3" < python_version < "4"', 'python_version < "three"'])
def test_a_marker_that_can_not_be_read_counts_as_needed(text):
    assert holds(text, MACHINES[0])


@pytest.mark.parametrize("line", ["", "name @ file:///x", "???", "; python_version > '3'", "a b"])
def test_a_line_that_names_no_package_is_refused(line):
    with pytest.raises(ValueError, match="which package"):
        read_need(line)


def test_names_that_count_as_one():
    for name in ("Foo.Bar", "foo_bar", "FOO--bar", "foo-._bar"):
        assert plain(name) == canonicalize_name(name) == "foo-bar"

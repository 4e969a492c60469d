"""Property tables are cached in a folder of the test run, never in the user's; files that take long come first."""

import fnmatch
import gc
import os
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
# Files that take longest, in the order in which workers should take them: what one has computed and printed the others
# find, and none is left with a long file at the end.
FIRST = (
    "report/test_booklet.py",
    # The demo's data are computed there; who asks for them meanwhile would wait.
    "bench/test_recovery.py",
    "faults/test_killed_builds.py",
    "sweep/test_sweep_executors.py",
    "dataset/test_recalculated.py",
    "answers/test_trace.py",
    "report/test_overlap.py",
    "report/test_handout.py",
    "tables/test_exercises.py",
    "report/test_attachments.py",
    "report/test_revision_page.py",
    "report/test_confidence_page.py",
    "report/test_structure.py",
    "dataset/test_changed_builds.py",
    "imports/test_import_sheets.py",
    "cli/test_cli.py",
    "cli/test_states.py",
)
# Tests that check a rule more widely than their neighbors, and are slow for it.
BLENDS = ("407H", "408A", "409A", "417A", "422D", "427A", "438A", "444B", "45[2-7]?")
WIDE = (
    "report/test_booklet.py::*SI-a4]",
    "report/test_overlap.py::test_booklet?SI-a4]",
    "report/test_attachments.py::test_the_same_catalogue_*",
    "report/test_confidence_page.py::test_a_catalogue_without_*",
    "report/test_graph_files.py::test_every_graph_*",
    "report/test_revision_page.py::test_new_and_closed_*",
    "report/test_revision_page.py::test_closed_windows_*",
    "report/test_revision_page.py::test_a_first_release_*",
    "report/test_handout.py::test_same_seed_*",
    "report/test_company_page.py::test_the_same_company_*",
    "report/test_answer_in_browser.py::*?trace]",
    "dataset/test_recalculated.py::*reasons?hard]",
    "dataset/test_changed_builds.py::test_everything_is_made_*",
    "bench/test_lack_of_fit.py::*?10]",
    "answers/test_one_table.py::test_every_window_without_*",
    "cli/test_states.py::test_full_standard_*arguments[123]*",
    "phone/test_phone_page.py::test_the_chosen_application_*?1280]",
    "phone/test_phone_page.py::test_the_load_is_asked_for_*?SI]",
    "report/test_languages.py::*es]",
    "report/test_languages.py::*fr]",
    "report/test_handout.py::test_other_groups_*",
    "report/test_handout.py::test_printed_answers_*?[12]-*",
    "tables/test_exercises.py::test_a_size_is_picked_*",
    "tables/test_exercises.py::test_a_single_narrow_*",
    "model/test_property_store.py::test_two_processes_*",
    "sweep/test_sweep_executors.py::test_a_build_by_several_*",
    "sweep/test_sweep_executors.py::test_whatever_*?[elcn][!o]*]",
    "bench/test_flow_fit.py::test_what_instruments_*",
    "config/test_problems.py::test_failing_build_*alder*",
    "cli/test_states.py::test_no_encoding_*?[lc]*]",
    "answers/test_retrofit.py::test_at_the_lowest_*?sets1]",
    "answers/test_retrofit.py::test_every_response_*?sets2*]",
    "answers/test_one_table.py::*?hard-*",
    "answers/test_one_table.py::test_so_they_are_*",
    "cli/test_compare_command.py::test_the_sheet_has_*",
    "cli/test_trace_command.py::test_sheet_of_each_family_*",
    "physics/test_equation_of_state.py::test_a_critical_point_that_is_not_given_*",
    "phone/test_phone_page.py::test_axe_*?1280-dark]",
    "faults/test_killed_builds.py::test_a_sheet_*?states]",
    "faults/test_killed_builds.py::test_a_full_disk_*",
    "dataset/test_recalculated.py::*reasons?demo]",
    "report/test_table_spreads.py::*a4-si]",
    "report/test_window_table.py::*?400]",
    "config/test_company_typeface.py::*counter_chart]",
    "config/test_problems.py::test_wrong_critical_point?states*",
    "published/test_trade_of_retrofits.py::test_a_lower_head_*valve[12]*",
    "answers/test_jobs.py::test_each_job_*?False]",
    "faults/test_killed_builds.py::test_a_sheet_*?trace]",
    "faults/test_killed_builds.py::test_a_sheet_*?retrofit]",
    "web/test_desk_browser.py::test_fifty_people_*",
    "dataset/test_recalculated.py::*agree?demo]",
    "dataset/test_growth.py::test_families_of_equal_*",
    "dataset/test_growth.py::test_shared_windows_*",
    "dataset/test_changed_builds.py::test_a_document_that_shows_nothing_*",
    "dataset/test_changed_builds.py::test_what_is_not_asked_for_*",
    "dataset/test_changed_builds.py::test_a_revision_notice_*",
    "answers/test_trace_derived_limits.py::test_every_limit_and_every_reason_*",
    "answers/test_trace.py::test_every_figure_of_the_config_*",
    "answers/test_hunt_calibration.py::test_a_calmer_coil_*",
    "answers/test_hunt_calibration.py::test_the_stated_coil_*",
    "answers/test_hunt.py::test_a_coil_that_was_simulated_*",
    "tables/test_assumption_weights.py::test_the_strongest_*",
    "tables/test_assumption_weights.py::test_a_step_does_*?[lsuh]*]",
    "report/test_class_handout.py::test_a_handout_is_drawn_*",
    "report/test_class_handout.py::test_what_was_entered_*",
    "report/test_port_designs_in_print.py::test_the_booklet_shows_*",
    "report/test_confidence_page.py::test_tables_are_at_confidence_*",
    "report/test_table_spreads.py::*booklet]",
    "faults/test_portability.py::test_every_module_is_imported_*",
    "faults/test_killed_builds.py::test_two_builds_at_once_*",
    "cli/test_cli.py::test_build_is_quiet_*",
    "cli/test_compare_old_table.py::test_a_command_answers_*",
    "cli/test_compare_old_table.py::test_limits_may_be_missing_*",
    "legacy/test_planted_assumption.py::test_each_port_design_*",
    "legacy/test_planted_assumption.py::test_a_margin_*",
    "config/test_structure_of_files.py::test_a_value_out_of_shape_*families*",
    "bench/test_lack_of_fit.py::*?4.0]",
    "bench/test_recovery.py::*orifice-20]",
    "audit/test_release.py::test_a_flipped_bit_*[13579]]",
    "audit/test_release.py::test_a_damaged_workbook_*[13579]]",
    "audit/test_release.py::test_a_release_in_another_language_*",
    "audit/test_tightening.py::test_a_limit_between_*",
    "imports/test_bench_to_guide.py::test_the_path_from_sheets_*",
    "manual/test_hunting_in_the_manual.py::test_what_the_text_*",
    "physics/test_step_response.py::test_the_wall_delays_*",
    "physics/test_step_response.py::test_delay_follows_*",
    "physics/test_valve_in_time.py::test_a_calibration_*",
    "physics/test_valve_in_time.py::*?opening superheat*",
    "physics/test_open_flow.py::*at_the_condenser]",
    "config/test_head_check.py::test_a_head_above_*[2468]]",
    "faults/test_altered_releases.py::*[13579]]",
    "config/test_cached_configs.py::test_problems_are_reported_*",
    *(f"physics/test_critical_points.py::*?R{blend}*]" for blend in BLENDS),
    *(f"physics/test_property_table.py::*R{blend}*]" for blend in BLENDS),
)


def pytest_configure(config: pytest.Config) -> None:
    """Before any test module is imported; a worker takes the folder of the run that started it."""
    if "TABLEGEN_TEST_CACHE" in os.environ:  # a run of mutants, which share one folder
        os.environ["TABLEGEN_CACHE"] = os.environ["TABLEGEN_TEST_CACHE"]
    elif "TABLEGEN_CACHE" not in os.environ or not hasattr(config, "workerinput"):
        os.environ["TABLEGEN_CACHE"] = str(Path(tempfile.mkdtemp(prefix="tablegen-tables-")))
    # Tests run side by side already; those of workers ask for them.
    os.environ["TABLEGEN_WORKERS"] = "1"
    # Most objects of a run stay until its end: looking for cycles less often takes a tenth of the time off.
    gc.set_threshold(200_000, 20, 50)
    # The order below, not that of the number of tests in a file.
    config.option.loadscopereorder = False


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Wide tests are slow; tests of the long files come before all others, each file in its own order."""
    if "TABLEGEN_TEST_CACHE" in os.environ:  # the quickest first, as they are asked for
        return
    for item in items:
        if any(fnmatch.fnmatchcase(item.nodeid.removeprefix("tests/"), pattern) for pattern in WIDE):
            item.add_marker(pytest.mark.slow)
    order = {ROOT / "tests" / name: place for place, name in enumerate(FIRST)}
    items.sort(key=lambda item: order.get(item.path, len(order)))


@pytest.hookimpl(trylast=True)
def pytest_collection_finish(session: pytest.Session) -> None:
    """What is there for the whole run, a million objects, is not looked through again at every garbage collection."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def _each_test_meets_what_it_tests() -> Iterator[None]:
    """While a run of mutants finds which test meets what, none of the physics finds what another has solved."""
    yield
    if os.environ.get("MUTANT_UNDER_TEST") == "stats":
        for module in list(sys.modules.values()):
            if Path(getattr(module, "__file__", None) or "").parent == ROOT / "tests" / "physics":
                for value in list(vars(module).values()):
                    if callable(clear := getattr(value, "cache_clear", None)):
                        clear()

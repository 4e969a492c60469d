"""What the ordinary run leaves out, and in which order it takes files."""

from __future__ import annotations

import fnmatch
import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence

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
# Cases that check a rule more widely than their neighbors, and are slow for it; tests slow in every case are marked so.
BLENDS = ("407H", "408A", "409A", "417A", "422D", "427A", "438A", "444B", "45[2-7]?")
WIDE = (
    "answers/test_case_difference.py::test_other_answers_*?hunt]",
    "answers/test_jobs.py::test_each_job_*?False]",
    "answers/test_one_table.py::*?hard-*",
    "answers/test_one_table.py::test_a_refrigerant_alone_*?at confidence*",
    "answers/test_one_table.py::test_cells_conditions_*?SI]",
    "answers/test_retrofit.py::test_at_the_lowest_*?sets1]",
    "answers/test_retrofit.py::test_every_response_*?sets2*]",
    "api/test_functions.py::test_a_function_answers_*?assumptions]",
    "api/test_functions.py::test_a_function_answers_*?hunt]",
    "audit/test_release.py::test_a_damaged_workbook_*[13579]]",
    "audit/test_release.py::test_a_flipped_bit_*[13579]]",
    "bench/test_lack_of_fit.py::*?10]",
    "bench/test_lack_of_fit.py::*?4.0]",
    "bench/test_recovery.py::*orifice-20]",
    "cli/test_states.py::test_full_standard_*arguments[123]*",
    "cli/test_table_command.py::test_what_no_page_*?wordy]",
    "config/test_company_typeface.py::*counter_chart]",
    "config/test_company_typeface.py::test_publications_*?print_booklet]",
    "config/test_problems.py::test_failing_build_*alder*",
    "config/test_problems.py::test_wrong_critical_point?states*",
    "config/test_structure_of_files.py::test_a_value_out_of_shape_*families*",
    "dataset/test_recalculated.py::*agree?demo]",
    "dataset/test_recalculated.py::*demo*",
    "dataset/test_recalculated.py::test_windows_are_set_by_the_same?demo*",
    "faults/test_altered_releases.py::*[13579]]",
    "faults/test_killed_builds.py::test_a_sheet_*?retrofit]",
    "faults/test_killed_builds.py::test_a_sheet_*?states]",
    "faults/test_killed_builds.py::test_a_sheet_*?trace]",
    "faults/test_limits_of_files.py::test_what_has_no_end_*?zeros as bench*",
    "faults/test_other_machines.py::test_an_answer_*in_*",
    "handout/test_exercises_solved.py::test_exercises_of_a_few_*?SI]",
    "manual/test_manual.py::test_the_commands_*?checks]",
    "manual/test_manual.py::test_the_commands_*?refrigerants]",
    "manual/test_manual.py::test_the_commands_*?teacher]",
    "phone/test_first_screen.py::test_no_text_is_cut_*?[ef][sr]]",
    "phone/test_phone_page.py::test_axe_*?1280-dark]",
    "phone/test_phone_page.py::test_axe_*dark*",
    "physics/test_open_flow.py::*at_the_condenser]",
    "physics/test_valve_in_time.py::*?opening superheat*",
    "properties/test_one_offer.py::*?1]",
    "published/test_trade_of_retrofits.py::test_a_lower_head_*valve[12]*",
    "report/test_answer_in_browser.py::*?trace]",
    "report/test_booklet.py::*SI-a4]",
    "report/test_languages.py::*es]",
    "report/test_languages.py::*fr]",
    "report/test_languages.py::test_a_counter_chart_*a4*",
    "report/test_overlap.py::test_booklet?SI-a4]",
    "report/test_table_spreads.py::*a4-si]",
    "report/test_table_spreads.py::*booklet]",
    "report/test_window_table.py::*?400]",
    "report/test_workbook_find.py::test_the_sheet_finds_*stock]",
    "sweep/test_sweep_executors.py::test_an_interrupted_*error1]",
    "tables/test_exercises.py::test_no_exercise_*?one member]",
    "web/test_desk_browser.py::test_axe_*?trace]",
    "web/test_desk_browser.py::test_the_low_head_*?1280]",
    *(f"physics/test_critical_points.py::*?R{blend}*]" for blend in BLENDS),
    *(f"physics/test_property_table.py::*R{blend}*]" for blend in BLENDS),
)
# Tests of many cases of one kind: every third is tried ordinarily, the others are slow.
THIRDS = (
    "answers/test_hunt_calibration.py::test_what_is_wrong_with_*",
    "answers/test_in_stock.py::test_what_is_wrong_*",
    "answers/test_retrofit.py::test_another_refrigerant_*",
    "api/test_functions.py::test_a_function_answers_*",
    "api/test_functions.py::test_an_answer_is_written_*",
    "audit/test_release.py::test_a_damaged_workbook_*",
    "audit/test_release.py::test_a_flipped_bit_*",
    "cli/test_compare_command.py::test_a_manifest_with_anything_*",
    "cli/test_maximum_superheat.py::test_an_answer_says_*",
    "cli/test_retrofit_command.py::test_the_sheet_is_one_page_*",
    "cli/test_start.py::test_a_warm_answer_*",
    "cli/test_states.py::test_a_reader_who_*",
    "cli/test_states.py::test_every_refrigerant_*",
    "cli/test_trace_sheet_figures.py::test_each_figure_*",
    "config/test_booklet_choices.py::test_a_choice_*",
    "config/test_catalogue_language.py::test_a_draft_of_a_language_*",
    "config/test_family_problems.py::test_problem_*",
    "config/test_head_check.py::test_a_head_above_*",
    "config/test_json_schema.py::test_what_the_schema_*",
    "config/test_old_names.py::test_an_old_key_*",
    "config/test_part_numbers.py::test_rows_name_*",
    "config/test_problems.py::test_wrong_critical_*",
    "config/test_publication_problems.py::test_problem_*",
    "config/test_refrigerant_spellings.py::test_an_unknown_*",
    "config/test_refrigerant_spellings.py::test_keys_of_one_*",
    "config/test_structure_of_files.py::test_a_value_out_of_shape_*",
    "config/test_tolerances.py::test_problem_*",
    "config/test_trade_spellings.py::test_a_catalogue_in_*",
    "config/test_units.py::test_usual_units_*",
    "cross/test_teqp.py::test_density_*",
    "cross/test_teqp.py::test_saturation*",
    "faults/test_altered_releases.py::test_an_altered_release_*",
    "faults/test_altered_releases.py::test_what_a_build_*",
    "faults/test_ended_commands.py::test_*",
    "faults/test_hostile_files.py::test_a_name_that_is_a_path_*",
    "faults/test_limits_of_files.py::test_what_has_no_end_*",
    "faults/test_other_machines.py::test_an_answer_*",
    "faults/test_special_files.py::test_a_pipe_in_a_release_*",
    "imports/test_import_sheets.py::test_a_bad_sheet_*",
    "imports/test_import_sheets.py::test_a_flow_coefficient_*",
    "imports/test_slips_in_sheets.py::test_a_size_that_is_no_date_*",
    "phone/test_first_screen.py::test_at_a_difference_*",
    "phone/test_first_screen.py::test_no_text_is_cut_*",
    "phone/test_phone_answers.py::test_the_page_agrees_*",
    "phone/test_phone_page.py::test_axe_*",
    "phone/test_phone_page.py::test_what_cannot_be_answered_*",
    "physics/test_critical_points.py::test_packaged_*",
    "physics/test_loop.py::test_against_bisection_*",
    "physics/test_property_table.py::test_saturation_*",
    "physics/test_property_table.py::test_true_critical_*",
    "properties/test_invariants.py::test_the_order_in_which_*",
    "report/test_answer_pdf.py::test_short_table_*",
    "report/test_answer_pdf.py::test_table_begins_*",
    "report/test_diagram.py::test_a_blank_sheet_*",
    "report/test_handout.py::test_the_key_*",
    "report/test_logo_image.py::test_the_page_for_a_phone_*",
    "report/test_revision_notice.py::test_tables_in_which_one_*",
    "report/test_workbook_find.py::test_a_reader_that_*",
    "web/test_site.py::test_an_answer_is_*",
    "web/test_site.py::test_hostile_texts_*",
    "web/test_site.py::test_the_low_head_*",
)


def wide(names: Sequence[str]) -> Iterator[str]:
    """Of the tests that were found, by name, those that the ordinary run leaves out."""
    left_out, counted = _any_of(WIDE), _any_of(THIRDS)
    cases: Counter[str] = Counter()
    for name in names:
        if left_out(name):
            yield name
        elif counted(name):
            test = name.partition("[")[0]
            if cases[test] % 3:
                yield name
            cases[test] += 1


def _any_of(patterns: Sequence[str]) -> Callable[[str], re.Match[str] | None]:
    return re.compile("|".join(map(fnmatch.translate, patterns))).match

"""Rules between the records of a practice, one function each.

A rule is given the whole records of the practice (`Draft`) with the problems found before it, and yields what it finds
itself. Rules about something *missing* ask `looking.whole` first, so that one mistake is reported once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from kitdocs.practice.draft import Draft
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules import (
    coverage,
    identity,
    instruments,
    labels,
    monitoring,
    printing,
    references,
    room,
    schedule,
    use,
    ways,
)

Rule = Callable[[Draft], Iterable[Problem]]

#: In the order in which they run: unknown names come first, because the others see what was found before.
RULES: tuple[Rule, ...] = (
    references.chairs_name_known_pouches,
    references.instruments_name_known_stages,
    references.sets_name_known_things,
    references.pouches_name_known_things,
    references.procedures_name_known_things,
    references.machines_hold_known_sizes,
    references.tables_name_known_things,
    references.photos_show_known_things,
    identity.ids_are_used_once,
    identity.ids_can_name_files,
    identity.codes_differ,
    identity.chairs_differ,
    identity.sets_in_one_cassette_have_their_own_marks,
    coverage.needs_are_covered,
    coverage.one_chair_has_it_all,
    coverage.add_ons_come_as_often_as_needed,
    coverage.nothing_rides_along,
    coverage.nothing_is_carried_twice,
    room.the_day_is_one,
    room.visits_fit_the_day,
    room.restocking_times_are_plausible,
    room.stages_run_from_dirty_to_clean,
    room.every_area_has_a_stage,
    room.everything_passes_every_machine,
    room.aluminium_is_cleaned_apart,
    ways.listed_stages_are_named,
    ways.packs_stay_together,
    ways.packs_are_sterilized,
    ways.maintenance_is_of_known_stages,
    instruments.hinged_instruments_open_wider,
    instruments.single_use_items_go_nowhere,
    instruments.lubricant_is_stated,
    instruments.drawers_are_opened_as_stated,
    monitoring.the_outside_indicator_is_bought,
    monitoring.vacuum_sterilizers_are_tested,
    monitoring.implants_are_held_back,
    monitoring.implants_wait_in_no_drawer,
    schedule.scheduled_visits_lie_in_the_day,
    schedule.one_visit_at_a_time_at_a_chair,
    schedule.scheduled_visits_are_at_their_chairs,
    printing.languages_have_words,
    printing.words_files_are_whole_and_used,
    printing.names_can_be_printed,
    labels.labels_can_be_printed,
    use.everything_is_used,
    use.names_are_in_every_language,
    use.pages_are_in_listed_languages,
)

"""The first morning: what comes up then is settled without asking anybody, by few taps and no wrong step."""

from __future__ import annotations

import pytest
from first_morning import PHONE, SCREENS, TABLET, TASKS, Screen, at_the_device
from playwright.sync_api import Browser
from visits import Server

pytestmark = pytest.mark.browser

#: At most so many taps. The round: one to begin, eight counts of what is not whole, seven drawers, the store, six
#: drawers to fill.
TAPS = {"a full round of seven chairs": 23, "a dropped pouch": 2, "a wet load": 2, "an unknown plier": 2}

#: At most so many heights of the screen are moved over.
MOVED = {
    PHONE: {"a full round of seven chairs": 0.8, "a dropped pouch": 0.0, "a wet load": 0.8, "an unknown plier": 0.0},
    TABLET: {"a full round of seven chairs": 0.0, "a dropped pouch": 0.0, "a wet load": 0.0, "an unknown plier": 0.8},
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("task", TASKS)
@pytest.mark.parametrize("screen", SCREENS, ids=lambda screen: screen.name)
def test_what_comes_up_on_the_first_morning_is_settled_by_few_taps(
    chromium: Browser, example_server: Server, screen: Screen, task: str, language: str
) -> None:
    with at_the_device(chromium, example_server.address, screen, language) as technician:
        TASKS[task](technician, language)
    count = technician.count
    assert len(count.taps) <= TAPS[task], count.taps
    assert count.wrong == 0, count.taps
    assert round(count.moved, 1) <= MOVED[screen][task]
    assert count.in_first_view


def test_a_question_that_does_not_name_what_is_in_the_hand_leads_astray(
    chromium: Browser, example_server: Server
) -> None:
    """What was on the floor was a pouch, and the page asked of packs: the nearest words were those of a spill."""
    with at_the_device(chromium, example_server.address, PHONE, "en") as technician:
        technician.tap(next(offer for offer in technician.offers() if offer.words == "Something went wrong"))
        technician.view.locator("details:has(#dropped) h3").evaluate(
            "asked => { asked.textContent = 'Pack dropped?'; }"
        )
        TASKS["a dropped pouch"](technician, "en")
        assert technician.count.taps[1:] == ["Blood or saliva on floor or table?", "Pack dropped?"]

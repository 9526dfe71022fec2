"""A temporary technician on the first morning: what can be found without a name."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page
from visits import PHONE, write

from kitdocs.document.card import Handbook
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def example_folder(example_handbooks: tuple[Handbook, ...], tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write(dict(site(example_handbooks)), tmp_path_factory.mktemp("example"))


@pytest.fixture
def home(context: BrowserContext, example_folder: Path) -> Page:
    page = context.new_page()
    page.goto((example_folder / "index.html").as_uri())
    return page


def test_an_unknown_plier_is_known_by_its_picture(home: Page) -> None:
    home.get_by_role("link", name="Find by picture").click()
    for picture in home.locator(".kind-pictures .tip").all():
        box = picture.bounding_box()
        assert box
        assert box["height"] >= 100, "large enough to tell one tip from another"
    home.get_by_role("link", name="Three-prong plier").click()
    assert home.get_by_role("heading", level=1).inner_text() == "Three-prong plier"
    home.get_by_role("link", name="Lingual wire pouch").click()
    assert home.get_by_role("heading", level=1).inner_text() == "Lingual wire pouch"


def test_a_piece_too_many_is_followed_from_its_answer_to_its_home(home: Page) -> None:
    home.locator(".wrong").click()
    home.get_by_text("A piece too many?").click()
    way = home.locator("#extra .step a")
    box = way.bounding_box()
    assert box and box["height"] >= 44
    way.click()
    home.get_by_role("link", name="Three-prong plier").click()
    assert home.get_by_role("link", name="Lingual wire pouch").is_visible()


def test_a_procedure_leads_to_its_set_and_the_set_back_to_its_procedures(home: Page) -> None:
    home.get_by_role("link", name="Find by procedure").click()
    home.get_by_role("link", name="Finishing bends").click()
    assert home.get_by_text("At every visit.").is_visible()
    home.get_by_role("link", name="Core set").click()
    assert home.url.endswith("/s/core.html")
    home.get_by_role("link", name="Archwire change").click()
    assert home.get_by_role("heading", level=1).inner_text() == "Archwire change"
    home.get_by_role("link", name="Find by procedure").click()
    assert home.url.endswith("/procedures.html")


def test_everything_is_found_without_a_script(chromium: Browser, example_folder: Path) -> None:
    context = chromium.new_context(java_script_enabled=False, viewport={"width": PHONE[0], "height": PHONE[1]})
    page = context.new_page()
    page.goto((example_folder / "index.html").as_uri())
    page.get_by_role("link", name="Find by procedure").click()
    page.get_by_role("link", name="Debonding", exact=True).click()
    assert page.get_by_role("link", name="Debonding set").is_visible()
    page.goto((example_folder / "index.html").as_uri())
    page.get_by_text("All cards and pages").click()
    page.get_by_text("Set templates").click()
    assert page.get_by_role("link", name="Template: Core set").is_visible()
    context.close()


def test_the_folded_cards_can_be_found_with_the_keyboard(home: Page) -> None:
    for folded in ("All cards and pages", "Pouch lists"):
        home.locator("summary", has_text=folded).focus()
        home.keyboard.press("Enter")
    assert home.get_by_role("link", name="Drawer: Chair 1").is_visible()

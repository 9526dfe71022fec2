"""A page that is waiting for its scripts keeps the place of what they show: nothing moves under a finger.

The sum of the browser's own layout shifts is measured, as web.dev defines it for Cumulative Layout Shift; at most 0.1
is "good" there. Scripts are held back until the page is painted, as a slow network holds them back.
"""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, Route
from visits import PHONE, SPANISH_PHONE, Server, until

pytestmark = pytest.mark.browser

GOOD = 0.1
WATCH = """
self.moved = { sum: 0, by: [] };
new PerformanceObserver((list) => {
  for (const shift of list.getEntries()) {
    self.moved.sum += shift.value;
    self.moved.by.push(...shift.sources.map(({ node }) => node && node.outerHTML ? node.outerHTML.slice(0, 80) : ""));
  }
}).observe({ type: "layout-shift", buffered: true });
"""


@pytest.mark.parametrize(
    "path",
    ["index.html", "es/index.html", "round.html", "es/round.html", "search.html", "current.html", "wall.html",
     "mishaps.html", "storage-map.html", "r/chair-1.html", "s/core.html"],
)  # fmt: skip
def test_nothing_moves_when_the_scripts_arrive(chromium: Browser, example_server: Server, path: str) -> None:
    context = chromium.new_context(
        viewport={"width": PHONE[0], "height": PHONE[1]}, has_touch=True, is_mobile=True, service_workers="block"
    )
    if path.startswith("es/"):
        context.add_init_script(SPANISH_PHONE)
    page = context.new_page()
    page.add_init_script(WATCH)
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route("**/assets/*.js", hold)
    page.goto(example_server.address + path, wait_until="commit")
    until(page, "performance.getEntriesByName('first-contentful-paint').length && document.fonts.status === 'loaded'")
    page.evaluate("new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)))")
    page.route("**/assets/*.js", lambda route: route.continue_())
    for route in held:
        route.continue_()
    until(page, "document.documentElement.classList.contains('js')")
    page.wait_for_load_state()
    page.evaluate("new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)))")
    moved = page.evaluate("self.moved")
    assert moved["sum"] <= GOOD, moved
    context.close()


def test_what_waits_for_a_script_shows_after_three_seconds_without_it(
    chromium: Browser, example_server: Server
) -> None:
    page = chromium.new_page(service_workers="block")
    page.route("**/assets/*.js", lambda route: route.abort())
    page.goto(example_server.address + "round.html")
    drawers = page.locator("[data-drawers] details.drawer")
    assert drawers.first.is_hidden()
    drawers.first.wait_for(timeout=5000)
    assert drawers.first.is_visible()
    page.context.close()

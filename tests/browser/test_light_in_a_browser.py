"""What a page gets in fewer bytes means the same to a browser."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser

from kitdocs.publish.site.minify import minify_css
from kitdocs.shipped import shipped_folder

pytestmark = pytest.mark.browser

ASSETS = shipped_folder("site_templates") / "site" / "assets"
RULES = """(styles) => styles.map((style) => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(style);
    return [...sheet.cssRules].map((rule) => rule.cssText);
})"""


@pytest.mark.parametrize("name", sorted(path.name for path in ASSETS.glob("*.css")))
def test_a_light_style_has_the_same_rules(chromium: Browser, name: str) -> None:
    style = (ASSETS / name).read_bytes()
    light = minify_css(style)
    page = chromium.new_page()
    before, after = page.evaluate(RULES, [style.decode(), light.decode()])
    page.close()
    assert [_spelt_alike(rule) for rule in before] == [_spelt_alike(rule) for rule in after]
    assert len(before) >= 6
    assert len(light) < 0.95 * len(style)


def _spelt_alike(rule: str) -> str:
    """Where a rule has a variable in it, the browser gives back how it was written, not what it means."""
    return re.sub(r"(?<![0-9])0\.", ".", re.sub(r",\s*", ",", rule))

"""The preview: what a save changes, what a mistake shows, who is answered. Pages in a browser: tests/browser."""

from __future__ import annotations

import json
import re
import socket
import struct
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from http.client import HTTPConnection, HTTPException
from pathlib import Path

import pytest
import sample_site
from editing import edit

from kitdocs.command.preview import written
from kitdocs.practice.problems import PublishError
from kitdocs.publish.preview import server as preview_server
from kitdocs.publish.preview.builds import Builder, LiveSite, Written
from kitdocs.publish.preview.mistakes import mistakes_page
from kitdocs.publish.preview.server import PreviewServer
from kitdocs.publish.site.pages import Drawn
from kitdocs.starter import start


@pytest.mark.whole
def test_only_the_cards_that_changed_are_drawn_again(started: Path) -> None:
    builder = Builder(partial(written, started))
    first = builder.build()
    drawn_first = len(builder.drawn.fresh)
    edit(started / "pages" / "house-rules.md", "# ", "# Read me: ")
    second = builder.build()
    drawn_again = builder.drawn.fresh[drawn_first:]
    assert "pages/house-rules.html" in drawn_again
    assert not any(path.startswith(("r/", "s/", "t/", "drawer/")) for path in drawn_again)
    # Nothing that differs was kept from before: every page of the site is what a first drawing would have made.
    fresh = Builder(partial(written, started)).build()
    assert second.files == fresh.files
    assert {path for path in first.files if first.files[path] != fresh.files[path]} == second.changed


def test_a_page_is_drawn_again_when_what_it_was_drawn_from_has_changed() -> None:
    drawn = Drawn()
    assert drawn.page("a", (1, "x"), lambda: b"one") == b"one"
    assert drawn.page("a", (1, "x"), lambda: b"two") == b"one"
    assert drawn.page("a", (1, "y"), lambda: b"two") == b"two"
    assert drawn.fresh == ["a", "a"]


@pytest.mark.whole
def test_a_mistake_leaves_the_last_good_handbook_and_says_place_and_remedy(started: Path) -> None:
    builder = Builder(partial(written, started))
    good = builder.build()
    assert good.good and "index.html" in good.changed
    edit(started / "sets.yaml", "cassette: ", "cassette: un")
    spoilt = builder.build()
    assert not spoilt.good
    assert spoilt.files == good.files
    page = mistakes_page(spoilt).decode()
    (problem, *_) = spoilt.problems
    assert problem.place.file == "sets.yaml"
    for part in (str(problem.place), str(problem.message), str(problem.remedy), *problem.pointed_at):
        assert part.replace("&", "&amp;").replace("'", "&#39;") in page
    edit(started / "sets.yaml", "cassette: un", "cassette: ")
    mended = builder.build()
    assert mended.good and mended.number == good.number + 2
    assert mended.changed == frozenset(), "the site is as it was"


def test_what_a_person_wrote_is_escaped_on_the_page_of_mistakes(started: Path) -> None:
    edit(started / "sets.yaml", "cassette: ", "cassette: <script>alert(1)</script> # ")
    page = mistakes_page(Builder(partial(written, started)).build()).decode()
    assert "<script>" not in page
    assert "&lt;script&gt;" in page


@contextmanager
def serving(say: Callable[[], Written]) -> Iterator[PreviewServer]:
    with PreviewServer(LiveSite(Builder(say).build()), port=0) as server:
        threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True).start()
        yield server
        server.shutdown()


@pytest.fixture(scope="module")
def server() -> Iterator[PreviewServer]:
    """The preview of a small invented handbook."""
    with serving(lambda: Written(handbooks=sample_site.handbooks(), reports=(), problems=())) as server:
        yield server


@pytest.fixture(scope="module")
def printing(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PreviewServer]:
    """The preview of a practice folder, whose sheets can be printed."""
    folder = tmp_path_factory.mktemp("preview") / "practice"
    start(folder)
    with serving(partial(written, folder)) as server:
        yield server


def asked(server: PreviewServer, path: str, method: str = "GET", **headers: str) -> tuple[int, str, bytes]:
    connection = HTTPConnection("127.0.0.1", server.port, timeout=10)
    connection.request(method, path, headers=headers)
    answer = connection.getresponse()
    read = answer.status, answer.getheader("Content-Type", ""), answer.read()
    connection.close()
    return read


def test_every_page_hears_of_the_next_proof(server: PreviewServer) -> None:
    status, kind, page = asked(server, "/")
    assert (status, kind) == (200, "text/html; charset=utf-8")
    assert b'<script defer src="/preview/reload.js" data-build=' in page
    assert asked(server, "/preview/reload.js")[0] == 200


def test_nothing_outside_the_site_is_given_away(server: PreviewServer) -> None:
    for path in (
        "/../practice.yaml",
        "/%2e%2e/practice.yaml",
        "/..%2fpractice.yaml",
        "//etc/passwd",
        "/preview/../../x",
    ):
        assert asked(server, path)[0] == 404


def test_a_name_of_another_site_is_not_answered(server: PreviewServer) -> None:
    assert asked(server, "/", Host="rebound.example")[0] == 421
    assert asked(server, "/", Host=f"localhost:{server.port}")[0] == 200


def test_only_reading_is_possible(server: PreviewServer) -> None:
    assert asked(server, "/", "POST")[0] == 501
    status, _, body = asked(server, "/", "HEAD")
    assert (status, body) == (200, b"")


def test_the_preview_keeps_nothing_on_the_device(server: PreviewServer) -> None:
    assert asked(server, "/sw.js")[0] == 404


def test_it_is_heard_of_each_proof_once(server: PreviewServer) -> None:
    connection = HTTPConnection("127.0.0.1", server.port, timeout=10)
    connection.request("GET", "/preview/builds")
    stream = connection.getresponse()

    def heard() -> dict[str, object]:
        line = stream.readline()
        stream.readline()
        return dict(json.loads(line.removeprefix(b"data: ")))

    build = server.live.latest
    assert heard()["number"] == build.number
    server.live.show(replace(build, number=build.number + 1, changed=frozenset()))
    news = heard()
    assert (news["number"], news["good"], news["changed"]) == (build.number + 1, True, [])
    connection.close()


def test_the_head_of_the_news_is_answered_at_once(server: PreviewServer) -> None:
    assert asked(server, "/preview/builds", "HEAD") == (200, "text/event-stream", b"")


def test_an_idle_connection_is_closed(server: PreviewServer, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(preview_server._Handler, "timeout", 0.1)
    with socket.create_connection(("127.0.0.1", server.port), timeout=10) as idle:
        assert idle.recv(1) == b""


def test_a_browser_that_resets_its_connection_is_no_error(
    server: PreviewServer, capfd: pytest.CaptureFixture[str]
) -> None:
    for path in ("/", "/preview/builds"):
        with socket.create_connection(("127.0.0.1", server.port), timeout=10) as gone:
            # Closing with unread data, and no wait for what is to be sent, resets the connection (RFC 1122, 4.2.2.13).
            gone.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
            gone.sendall(f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n\r\n".encode() * 50)
    server.live.show(replace(server.live.latest, number=server.live.latest.number + 1))
    assert asked(server, "/")[0] == 200
    assert capfd.readouterr().err == ""


def test_an_unforeseen_error_of_an_answer_is_one_line(
    server: PreviewServer, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> bytes:
        raise TypeError("not supported")

    monkeypatch.setattr(preview_server, "mistakes_page", broken)
    with pytest.raises((HTTPException, OSError)):
        asked(server, "/preview/mistakes")
    deadline = time.monotonic() + 10
    said = ""
    while "\n" not in said and time.monotonic() < deadline:
        said += capfd.readouterr().err
        time.sleep(0.02)
    assert said.startswith("kitdocs: this is a mistake of kitdocs: TypeError: not supported (")
    assert said.count("\n") == 1
    assert asked(server, "/")[0] == 200


def test_a_port_that_is_taken_is_said(server: PreviewServer) -> None:
    with pytest.raises(PublishError, match=f"port {server.port} cannot be used"):
        PreviewServer(server.live, port=server.port)


@pytest.mark.whole
def test_a_sheet_is_set_when_it_is_asked_for(printing: PreviewServer) -> None:
    status, kind, pdf = asked(printing, "/print/pouch-lists.pdf")
    assert (status, kind, pdf[:5]) == (200, "application/pdf", b"%PDF-")
    assert asked(printing, "/print/nothing.pdf")[0] == 404


@pytest.mark.whole
def test_every_pdf_that_a_published_handbook_has_is_in_the_preview(printing: PreviewServer) -> None:
    for name in ("labels", "forms", "move", "plan"):
        status, kind, pdf = asked(printing, f"/print/{name}.pdf")
        assert (status, kind, pdf[:5]) == (200, "application/pdf", b"%PDF-"), name


@pytest.mark.whole
def test_a_previewed_card_leads_to_its_pdf(printing: PreviewServer) -> None:
    page = asked(printing, "/repair.html")[2].decode()
    found = re.search('href="([^"]+)" data-pdf', page)
    assert found and found[1] == "print/binder.pdf"
    assert asked(printing, f"/{found[1]}")[1] == "application/pdf"

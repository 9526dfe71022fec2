"""The preview's server: one folder's site from memory, to this machine or, when asked to, to the same network."""

from __future__ import annotations

import json
import posixpath
import socket
import sys
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import unquote, urlsplit

from kitdocs.errors import mistake_of_kitdocs
from kitdocs.practice.problems import KitdocsError, PublishError
from kitdocs.publish.preview import USUAL_PORT
from kitdocs.publish.preview.builds import Build, LiveSite
from kitdocs.publish.preview.mistakes import mistakes_page, own_file
from kitdocs.publish.site.assets import assets
from kitdocs.publish.site.build_site import WORKER
from kitdocs.publish.site.installing import INK, icon_svg

LOOPBACK = "127.0.0.1"
#: Seconds after which a listener hears something, if only a comment: so a closed page is noticed.
HEARTBEAT = 15.0
#: Seconds after which a connection that asks for nothing is closed.
IDLE = 60.0

_MISSING = "404.html"
_PREVIEW = "preview/"
_OWN = ("preview/reload.js", "preview/mistakes.css")
_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".webmanifest": "application/manifest+json",
    ".jpg": "image/jpeg",
    ".ttf": "font/ttf",
    ".woff2": "font/woff2",
    ".txt": "text/plain; charset=utf-8",
    ".pdf": "application/pdf",
}


class PreviewServer(ThreadingHTTPServer):
    """Serves what `live` shows. Bound to loopback unless `host` says otherwise.

    Raises `PublishError` when the port is taken. Port 0 is any free one.
    """

    daemon_threads = True
    allow_reuse_address = True

    def __init__(self, live: LiveSite, *, host: str = LOOPBACK, port: int = USUAL_PORT) -> None:
        self.live = live
        try:
            super().__init__((host, port), _Handler)
        except OSError as error:
            raise PublishError(
                f"port {port} cannot be used: {error.strerror}; choose another with --port, or 0 for any free one"
            ) from error
        self.assets = {**assets(), "assets/icon.svg": icon_svg([INK])}
        self.host = host
        self.port = int(self.server_address[1])
        #: A page of another site may send a browser here under a name of its own; only these are answered.
        self.names = {f"{name}:{self.port}" for name in (host, LOOPBACK, "localhost")}

    def handle_error(self, request: object, client_address: object) -> None:
        """Print an error of an answer in one line. A browser that has gone is none."""
        error = sys.exc_info()[1]
        if error and not isinstance(error, OSError):
            print(f"kitdocs: {mistake_of_kitdocs(error)}", file=sys.stderr)

    @property
    def address(self) -> str:
        """Where a browser finds the first page."""
        return f"http://{self.host}:{self.port}/"


def lan_address() -> str:
    """This machine's address on its network. Nothing is sent. Raises `KitdocsError` when it is on none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(("192.0.2.1", 9))  # RFC 5737: an address that nobody has
            found = str(asked.getsockname()[0])
        except OSError as error:
            raise KitdocsError(
                "no local network found, so phones cannot open the preview; connect to Wi-Fi or leave out --lan"
            ) from error
    return found


class _Handler(BaseHTTPRequestHandler):
    server: PreviewServer
    protocol_version = "HTTP/1.1"
    server_version = "kitdocs"
    sys_version = ""
    timeout = IDLE

    def do_GET(self) -> None:
        if self.headers.get("Host", "") not in self.server.names:
            self._answer(HTTPStatus.MISDIRECTED_REQUEST, "text/plain; charset=utf-8", b"not this host\n")
            return
        path = posixpath.normpath("/" + unquote(urlsplit(self.path).path)).lstrip("/")
        build = self.server.live.latest
        if path == _PREVIEW + "builds":
            self._tell_of_builds()
        elif path.startswith(_PREVIEW):
            self._own(path, build)
        elif not build.files and (not path or path.endswith(".html")):
            self._page(mistakes_page(build), build)
        else:
            self._file(path, build)

    def do_HEAD(self) -> None:
        self.do_GET()

    def log_message(self, *_: object) -> None:
        """Nothing: the terminal is for what is wrong with the folder."""

    def _own(self, path: str, build: Build) -> None:
        if path == _PREVIEW + "mistakes":
            self._page(mistakes_page(build), build)
        elif path in _OWN:
            self._answer(HTTPStatus.OK, _kind(path), own_file(path))
        else:
            self._missing(build)

    def _file(self, path: str, build: Build) -> None:
        wanted = path if path in build.files else posixpath.join(path, "index.html")
        if path == WORKER:  # what is kept on the device would outlive the preview
            self._missing(build)
        elif wanted in build.files and wanted.endswith(".html"):
            self._page(build.files[wanted], build)
        elif wanted in build.files:
            self._answer(HTTPStatus.OK, _kind(wanted), build.files[wanted])
        elif path in self.server.assets:  # for the page of mistakes, while there is no site yet
            self._answer(HTTPStatus.OK, _kind(path), self.server.assets[path])
        else:
            self._sheet(path, build)

    def _sheet(self, path: str, build: Build) -> None:
        try:
            pdf = self.server.live.sheet(path) if path.endswith(".pdf") else None
        except PublishError as error:
            self._answer(HTTPStatus.INTERNAL_SERVER_ERROR, _TYPES[".txt"], f"{error}\n".encode())
            return
        if pdf is None:
            self._missing(build)
        else:
            self._answer(HTTPStatus.OK, _TYPES[".pdf"], pdf)

    def _missing(self, build: Build) -> None:
        page = build.files.get(_MISSING, b"<!doctype html><title>Page not found</title><p>Page not found.")
        self._page(page, build, HTTPStatus.NOT_FOUND)

    def _page(self, page: bytes, build: Build, status: HTTPStatus = HTTPStatus.OK) -> None:
        name = self.server.live.name(build)
        script = f'<script defer src="/preview/reload.js" data-build="{name}"></script>\n</head>'
        self._answer(status, _TYPES[".html"], page.replace(b"</head>", script.encode(), 1))

    def _answer(self, status: HTTPStatus, kind: str, body: bytes) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)

    def _tell_of_builds(self) -> None:
        """The present build, and each one after it, as long as the page is open (server-sent events, WHATWG HTML)."""
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", "text/event-stream")
        self.send_header("Cache-Control", "no-store")
        self.send_header("Connection", "close")
        self.end_headers()
        self.close_connection = True
        if self.command == "HEAD":
            return
        live = self.server.live
        build: Build | None = live.latest
        told = -1
        try:
            while True:
                if build:
                    self.wfile.write(f"data: {_as_news(live.run, build)}\n\n".encode())
                    told = build.number
                else:
                    self.wfile.write(b": still here\n\n")
                self.wfile.flush()
                build = live.after(told, HEARTBEAT)
        except OSError:  # the page was closed
            return


def _kind(path: str) -> str:
    return _TYPES.get(posixpath.splitext(path)[1], "application/octet-stream")


def _as_news(run: str, build: Build) -> str:
    news = {"run": run, "number": build.number, "good": build.good, "changed": sorted(build.changed)}
    return json.dumps(news)

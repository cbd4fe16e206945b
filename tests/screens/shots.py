"""Pictures of every page at both widths: ``python -m tests.screens.shots OUT [--demo NAME]``.

Starts the pages on a free port with drafts in a folder of their own, opens a demo, plans it for
some seconds, and takes a picture of each page and of each tab of a plan.  For looking at: what
is ugly or confusing in them is a fault.
"""

from __future__ import annotations

import argparse
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.request import urlopen

from playwright.sync_api import Browser, Page, sync_playwright

from planner.screens.data_folder import VARIABLE
from planner.screens.navigation import TITLES
from planner.screens.results import TABS

ROOT = Path(__file__).resolve().parents[2]
WIDTHS = (1440, 900)
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
START_S = 60.0
TALL_PX = 5200
SETTLE_MS = 900


def main() -> int:
    """Take the pictures and say where they are."""
    given = argparse.ArgumentParser(description=__doc__, prog="python -m tests.screens.shots")
    given.add_argument("out", type=Path, help="folder for the pictures")
    given.add_argument("--demo", default="quay-soffit", help="demo to open")
    given.add_argument("--seconds", type=int, default=20, help="time for the search")
    given.add_argument("--scheme", choices=("light", "dark"), default="light")
    given.add_argument("--only", default="", help="only pages whose name begins so")
    given.add_argument("--widths", type=int, nargs="*", default=list(WIDTHS))
    chosen = given.parse_args()
    chosen.out.mkdir(parents=True, exist_ok=True)
    with serving() as address, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium(), args=FLAGS)
        draft = prepare(browser, address, demo=chosen.demo, seconds=chosen.seconds)
        for width in chosen.widths:
            page = browser.new_page(
                viewport={"width": width, "height": 1000}, color_scheme=chosen.scheme
            )
            for name in TITLES:
                if name.startswith(chosen.only):
                    visit(page, f"{address}/{name}?w={draft}")
                    save(page, chosen.out / f"{chosen.demo}-{name}-{width}-{chosen.scheme}.png")
            if "plan".startswith(chosen.only) or chosen.only.startswith("plan"):
                tabs(page, f"{address}/plan?w={draft}", chosen, width)
            page.close()
        browser.close()
    return 0


def chromium() -> str:
    """Return where Chromium is."""
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    if found is None:
        msg = "no chromium on this machine; install it to take pictures"
        raise SystemExit(msg)
    return found


@contextmanager
def serving() -> Iterator[str]:
    """Run the pages on a free port with drafts of their own; end them afterwards."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    with tempfile.TemporaryDirectory() as drafts:
        command = [sys.executable, "-m", "streamlit", "run", "app.py"]
        command += ["--server.port", str(port), "--server.headless", "true"]
        server = subprocess.Popen(
            command,
            cwd=ROOT,
            env={**os.environ, VARIABLE: drafts},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            address = f"http://localhost:{port}"
            wait_for(address, server)
            yield address
        finally:
            server.terminate()
            server.wait(timeout=20)


def wait_for(address: str, server: subprocess.Popen[bytes]) -> None:
    """Wait until the pages answer."""
    until = time.monotonic() + START_S
    while time.monotonic() < until and server.poll() is None:
        try:
            with urlopen(f"{address}/_stcore/health", timeout=2) as answer:  # noqa: S310 - http
                if answer.status == 200:
                    return
        except OSError:
            time.sleep(0.3)
    msg = "the pages did not start"
    raise SystemExit(msg)


def prepare(browser: Browser, address: str, *, demo: str, seconds: int) -> str:
    """Open a demo and plan it; return the id of its draft."""
    page = browser.new_page(viewport={"width": 1440, "height": 1000})
    visit(page, address)
    page.locator(f".st-key-demo-{demo} button").click()
    page.wait_for_url("**w=*", timeout=30_000)
    draft = page.url.split("w=")[1].split("&")[0]
    visit(page, f"{address}/plan?w={draft}")
    page.get_by_text("More: the order of goals").click()
    box = page.locator(".st-key-seconds input")
    box.fill(str(seconds))
    box.press("Enter")
    settle(page)
    page.locator(".st-key-plan button").click()
    page.locator(".st-key-download").wait_for(timeout=(seconds + 120) * 1000)
    page.close()
    return draft


def visit(page: Page, address: str) -> None:
    """Open a page and wait until it is drawn."""
    page.set_viewport_size(
        {"width": (page.viewport_size or {"width": 1440})["width"], "height": 1000}
    )
    page.goto(address)
    page.locator("h1").first.wait_for(timeout=60_000)
    settle(page)


def settle(page: Page) -> None:
    """Wait until the page has nothing to do any more."""
    page.wait_for_timeout(SETTLE_MS)
    page.wait_for_function(
        "() => !document.querySelector('[data-testid=\"stStatusWidget\"]')"
        " && !document.querySelector('[data-testid=\"stSkeleton\"]')",
        timeout=90_000,
    )
    page.wait_for_timeout(SETTLE_MS // 2)


def save(page: Page, path: Path) -> None:
    """Take a picture of the whole page, however long."""
    width = (page.viewport_size or {"width": 1440})["width"]
    tall = page.evaluate("() => document.querySelector('[data-testid=\"stMain\"]').scrollHeight")
    page.set_viewport_size({"width": width, "height": min(int(tall) + 20, TALL_PX)})
    settle(page)
    page.screenshot(path=str(path))
    print(path)  # noqa: T201 - a command for developers


def tabs(page: Page, address: str, chosen: argparse.Namespace, width: int) -> None:
    """Take a picture of each tab of the plan."""
    visit(page, address)
    for number, tab in enumerate(TABS):
        page.locator(".st-key-tab button").nth(number).click()
        page.set_viewport_size({"width": width, "height": 1000})
        settle(page)
        name = tab.lower().replace(" ", "-")
        save(page, chosen.out / f"{chosen.demo}-plan-{name}-{width}-{chosen.scheme}.png")


if __name__ == "__main__":
    raise SystemExit(main())

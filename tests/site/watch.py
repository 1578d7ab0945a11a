"""What a page does that it should not, and the search as a person uses it."""

from __future__ import annotations

from typing import Any

import pytest


class Watch:
    """Notes what a page asks for, and everything that goes wrong on it.

    Attributes:
        problems: dialogs, errors of scripts, messages of the console, requests that failed.
        requests: every address that was asked for.
    """

    def __init__(self, page: Any) -> None:
        self.problems: list[str] = []
        self.requests: list[str] = []
        page.on("dialog", self._dialog)
        page.on("pageerror", lambda error: self.problems.append(f"error: {error}"))
        page.on("console", self._console)
        page.on("request", lambda request: self.requests.append(request.url))
        page.on("requestfailed", self._failed)
        page.on("response", self._response)

    def _dialog(self, dialog: Any) -> None:
        self.problems.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def _console(self, message: Any) -> None:
        if message.type in ("error", "warning"):
            self.problems.append(f"console: {message.text}")

    def _failed(self, request: Any) -> None:
        # Leaving a page ends what it was still fetching: that is no failure.
        if "ERR_ABORTED" not in (request.failure or ""):
            self.problems.append(f"failed: {request.url}: {request.failure}")

    def _response(self, response: Any) -> None:
        if response.status >= 400:
            self.problems.append(f"answer {response.status}: {response.url}")


def search(page: Any, words: str) -> None:
    """Type into the search field as a person does, until there are results."""
    field = page.locator("[data-md-component=search-query]")
    field.click()
    field.fill("")
    field.press_sequentially(words, delay=20)
    for _ in range(60):
        if page.locator(".md-search-result__item").count():
            page.wait_for_timeout(300)
            return
        field.press("End")  # the index may have come after the last key
        page.wait_for_timeout(250)
    pytest.fail(f"the search for {words} found nothing")


def collapsed(text: str) -> str:
    """Text as one line, as a browser lays it out."""
    return " ".join(text.split())

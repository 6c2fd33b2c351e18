"""Firefox spoken to by its own Marionette protocol: opened, asked, clicked; nothing is installed for it."""

from __future__ import annotations

import base64
import json
import socket
import subprocess
import tempfile
import time
from pathlib import Path
from typing import Any

ELEMENT = "element-6066-11e4-a52e-4f735466cecf"
KEYS = {"ArrowUp": "\ue013", "ArrowDown": "\ue015", "Enter": "\ue007", "Space": " ", "Tab": "\ue004"}
PREFERENCES = {
    "marionette.port": 0,
    "browser.download.folderList": 2,
    "browser.download.useDownloadDir": True,
    "browser.download.always_ask_before_handling_new_types": False,
    "browser.helperApps.neverAsk.saveToDisk": "application/json",
    "browser.shell.checkDefaultBrowser": False,
    "datareporting.policy.dataSubmissionEnabled": False,
}


class Firefox:
    """One Firefox with a profile of its own, driven over Marionette."""

    def __init__(self, program: str, scripts: bool = True) -> None:
        self.profile = Path(tempfile.mkdtemp(prefix="wy-firefox-"))
        self.downloads = self.profile / "downloads"
        self.downloads.mkdir()
        wanted = {**PREFERENCES, "browser.download.dir": str(self.downloads), "javascript.enabled": scripts}
        lines = [f"user_pref({json.dumps(name)}, {json.dumps(value)});" for name, value in wanted.items()]
        (self.profile / "user.js").write_text("\n".join(lines), encoding="utf-8")
        call = [program, "--headless", "--marionette", "--no-remote", "--remote-allow-system-access", "--profile"]
        self.process = subprocess.Popen(
            [*call, str(self.profile)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        self.count = 0
        self.line = socket.create_connection(("127.0.0.1", self._port()), timeout=60)
        self._read()
        self.ask("WebDriver:NewSession", {"capabilities": {"alwaysMatch": {"unhandledPromptBehavior": "accept"}}})

    def _port(self) -> int:
        found = self.profile / "MarionetteActivePort"
        for _ in range(600):
            if found.exists() and found.read_text().strip():
                return int(found.read_text())
            time.sleep(0.1)
        raise SystemExit("Firefox did not start")

    def _read(self) -> Any:
        head = b""
        while not head.endswith(b":"):
            head += self.line.recv(1)
        body = b""
        while len(body) < int(head[:-1]):
            body += self.line.recv(int(head[:-1]) - len(body))
        return json.loads(body)

    def ask(self, name: str, given: dict[str, Any] | None = None) -> Any:
        """Send one command and return its result."""
        self.count += 1
        text = json.dumps([0, self.count, name, given or {}]).encode()
        self.line.sendall(str(len(text)).encode() + b":" + text)
        _, _, fault, result = self._read()
        if fault:
            raise RuntimeError(f"{name}: {fault['error']}: {fault['message'][:300]}")
        return result

    def open(self, file: Path, mark: str = "") -> None:
        """Open a file of this machine."""
        self.ask("WebDriver:Navigate", {"url": file.resolve().as_uri() + mark})

    def run(self, script: str, *given: Any) -> Any:
        """Run a script in the page and return what it returns."""
        return self.ask("WebDriver:ExecuteScript", {"script": script, "args": list(given)})["value"]

    def wait(self, script: str, *given: Any) -> bool:
        """Wait until a script returns something true; False when it never did."""
        for _ in range(150):
            if self.run(script, *given):
                return True
            time.sleep(0.1)
        return False

    def find(self, selector: str) -> dict[str, str]:
        """Return the first element that a selector finds."""
        found = self.ask("WebDriver:FindElement", {"using": "css selector", "value": selector})["value"]
        return {"id": found[ELEMENT]}

    def click(self, selector: str) -> None:
        """Click the first element of a selector as a hand would."""
        self.ask("WebDriver:ElementClick", self.find(selector))

    def type(self, selector: str, text: str) -> None:
        """Type into the first element of a selector."""
        self.ask("WebDriver:ElementSendKeys", {**self.find(selector), "text": text})

    def press(self, *names: str) -> None:
        """Press keys, wherever the focus is."""
        steps = [{"type": kind, "value": KEYS.get(name, name)} for name in names for kind in ("keyDown", "keyUp")]
        self.ask("WebDriver:PerformActions", {"actions": [{"type": "key", "id": "keys", "actions": steps}]})

    def complaints(self) -> list[str]:
        """Return the errors of the console that came from a file, and forget them."""
        self.ask("Marionette:SetContext", {"value": "chrome"})
        found = self.run(
            """const all = Services.console.getMessageArray(); Services.console.reset();
            return all.filter(one => one instanceof Ci.nsIScriptError && !(one.flags & 1)
              && /^(file|blob|moz-nullprincipal)/.test(one.sourceName)).map(one => one.sourceName.split("/").pop()
              + ":" + one.lineNumber + " " + one.errorMessage)"""
        )
        self.ask("Marionette:SetContext", {"value": "content"})
        return list(dict.fromkeys(found))

    def shot(self, file: Path) -> None:
        """Keep a picture of the page."""
        made = self.ask("WebDriver:TakeScreenshot", {"full": False})["value"]
        file.write_bytes(base64.b64decode(made))

    def close(self) -> None:
        """End this Firefox."""
        self.ask("Marionette:Quit", {"flags": ["eForceQuit"]})
        self.process.wait(timeout=30)

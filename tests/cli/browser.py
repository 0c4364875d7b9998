# SPDX-License-Identifier: GPL-3.0-or-later
"""A headless Chromium (Debian's chromium and chromium-driver) in which the tests look at a page."""

import base64

from selenium import webdriver
from selenium.webdriver.chrome.options import Options
from selenium.webdriver.chrome.service import Service

FLAGS = ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-background-networking",
         "--disable-component-update", "--no-first-run")


class Browser:
    def __init__(self):
        options = Options()
        options.binary_location = "/usr/bin/chromium"
        for flag in FLAGS:
            options.add_argument(flag)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
        self.driver = webdriver.Chrome(service=Service("/usr/bin/chromedriver"), options=options)
        self.driver.set_page_load_timeout(60)

    def ask(self, command, **arguments):
        """A command of the browser's protocol."""
        return self.driver.execute_cdp_cmd(command, arguments)

    def resize(self, width, height=900):
        self.ask("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)

    def settle(self):
        """Wait until the page has answered a change of its size."""
        self.driver.execute_async_script("requestAnimationFrame(() => requestAnimationFrame(arguments[0]));")

    def open(self, path, width=1280, height=900, scheme="light", motion="no-preference", scripts=True):
        self.resize(width, height)
        self.ask("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme},
                                                         {"name": "prefers-reduced-motion", "value": motion}])
        self.ask("Emulation.setScriptExecutionDisabled", value=not scripts)
        self.driver.get(path.as_uri())

    def run(self, script, *arguments):
        return self.driver.execute_script(script, *arguments)

    def complaints(self):
        """What stands in the console since the last time."""
        return [entry["message"] for entry in self.driver.get_log("browser")]

    def print(self, width_in, height_in):
        """The page as the bytes of a PDF."""
        done = self.ask("Page.printToPDF", paperWidth=width_in, paperHeight=height_in, printBackground=True)
        return base64.b64decode(done["data"])

    def close(self):
        self.driver.quit()

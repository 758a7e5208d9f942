// Debian's Chromium, with a fresh profile, that asks no host for anything.
import { chromium } from "playwright-core";

export const openBrowser = () => chromium.launch({
  executablePath: "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-quic", "--disable-background-networking", "--disable-component-update",
    "--disable-sync"],
});

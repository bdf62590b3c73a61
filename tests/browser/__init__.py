"""The pages in a real browser: Debian's Chromium, driven by Playwright."""

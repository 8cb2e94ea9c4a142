"""The app in a browser: who is let in, the page, and one process of the app for each open page."""

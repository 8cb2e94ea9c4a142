// Runs before the terminal opens: where its line goes, how large its letters are, and what opens it again.
const terminal = document.getElementById("terminal");
terminal.dataset.sessionWebsocketUrl = location.origin.replace(/^http/, "ws") + "/ws";
const size = Number(new URLSearchParams(location.search).get("fontsize"));
if (size >= 6 && size <= 60) terminal.dataset.fontSize = size;
document.getElementById("again").addEventListener("click", () => location.reload());

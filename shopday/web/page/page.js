// Runs before the terminal opens: where its line goes, how large its letters are, what opens it again, and keys for fingers.
const terminal = document.getElementById("terminal");
const fingers = matchMedia("(pointer: coarse)").matches;
terminal.dataset.sessionWebsocketUrl = location.origin.replace(/^http/, "ws") + "/ws";
const size = Number(new URLSearchParams(location.search).get("fontsize"));
if (size >= 6 && size <= 60) terminal.dataset.fontSize = size;
else if (fingers) terminal.dataset.fontSize = Math.min(innerWidth, innerHeight) < 600 ? 15 : 20;
document.getElementById("again").addEventListener("click", () => location.reload());

// The terminal's own line, on which the buttons type too.
let line = null;
window.WebSocket = class extends WebSocket {
  constructor(url, ...more) {
    super(fingers ? `${url}&fingers=1` : url, ...more); // the app makes its rows higher for them
    line = this;
  }
};
const type = (keys) => line && line.send(JSON.stringify(["stdin", keys]));
const ESCAPE = "\x1b[27u"; // unlike the bare sign it never begins another key
const APART = 300; // milliseconds in which a field is left
for (const button of document.querySelectorAll("nav [data-keys]")) {
  button.addEventListener("click", () => type(button.dataset.keys));
}
for (const button of document.querySelectorAll("nav [data-place]")) {
  button.addEventListener("click", () => {
    type(ESCAPE); // where somebody types, a number is no place
    setTimeout(() => type(button.dataset.place), APART);
  });
}

// A tap points; the keyboard comes up only when it is asked for.
const typing = document.getElementById("typing");
const field = () => document.querySelector(".xterm-helper-textarea");
const show = (wanted) => {
  typing.setAttribute("aria-pressed", String(wanted));
  if (!field()) return;
  field().setAttribute("inputmode", wanted ? "text" : "none");
  field().blur();
  if (wanted) field().focus();
};
if (fingers) {
  document.body.classList.add("fingers");
  new MutationObserver((_, seen) => {
    if (!field()) return;
    seen.disconnect();
    show(false);
  }).observe(terminal, { childList: true, subtree: true });
}
typing.addEventListener("click", () => show(typing.getAttribute("aria-pressed") !== "true"));

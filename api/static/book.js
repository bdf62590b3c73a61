// Entries work without a network: each is kept here under an id of its own until the book has it.
const QUEUE = "carrybook-queue";
const sync = document.getElementById("sync");
const waiting = () => JSON.parse(localStorage.getItem(QUEUE) || "[]");
const keep = (entries) => localStorage.setItem(QUEUE, JSON.stringify(entries));

function show() {
  const count = waiting().filter((entry) => !entry.refused).length;
  const words = navigator.onLine ? "" : sync.dataset.offline;
  const said = count ? `${sync.dataset.waiting} ${count}` : words;
  if (sync.textContent === said) return;  // nothing to draw again
  sync.textContent = said;
  sync.classList.toggle("waiting", count > 0);
}

async function send(entry) {
  const body = new URLSearchParams(entry.fields);
  const answer = await fetch(entry.path, { method: "POST", body, headers: { "X-Entry": "1" } });
  if (answer.status >= 500 || answer.status === 429) throw new Error("later");
  return answer;
}

let sending = Promise.resolve();
function flush() {
  sending = sending.then(async () => {
    for (const entry of waiting()) {
      if (entry.refused) continue;
      let answer;
      try { answer = await send(entry); } catch { break; }
      const rest = waiting().filter((other) => other.fields.entry_id !== entry.fields.entry_id);
      keep(answer.ok ? rest : [...rest, { ...entry, refused: await answer.text() }]);
      document.dispatchEvent(new CustomEvent("entry", { detail: { entry, ok: answer.ok } }));
    }
    show();
  });
  return sending;
}

function queued(form) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const fields = Object.fromEntries(new FormData(form, event.submitter));
    fields.entry_id = crypto.randomUUID ? crypto.randomUUID()
      : Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
    fields.entered_at = new Date().toISOString();
    keep([...waiting(), { path: form.getAttribute("action"), fields }]);
    form.dispatchEvent(new CustomEvent("kept", { detail: fields }));
    show();
    const said = form.querySelector("[data-said]");
    if (said) said.textContent = `${said.dataset.said} ${fields.ball_number || fields.attempt_id || ""}`;
    for (const field of form.querySelectorAll("[data-clear]")) {
      if (field.type === "checkbox") field.checked = false; else field.value = "";
    }
    const next = form.querySelector("[data-next]");
    if (next) next.value = Number(next.value) + 1;
    (form.querySelector("[data-first]") || form.elements[0]).focus();
    await flush();
    if (form.dataset.after && !waiting().length) location.assign(form.dataset.after);
  });
}

document.querySelectorAll("form[data-offline]").forEach(queued);

// What stays the same from ball to ball and day to day is remembered by this browser.
for (const field of document.querySelectorAll("input[data-kept]")) {
  const name = `carrybook-kept-${field.name}`;
  field.value = localStorage.getItem(name) ?? field.value;
  field.addEventListener("change", () => localStorage.setItem(name, field.value));
}

// An entry that the book refused comes back with the reason, to be corrected or let go.
const back = document.getElementById("refused");
function letGo(entry) {
  keep(waiting().filter((other) => other.fields.entry_id !== entry.fields.entry_id));
  refusals();
  show();
}
function correct(entry) {
  const form = document.querySelector(`form[data-offline][action="${entry.path}"]`);
  if (!form) { location.assign(entry.path); return; }
  for (const [name, value] of Object.entries(entry.fields)) {
    const field = form.elements[name];
    if (!field || name === "token") continue;
    if (field.type === "checkbox") field.checked = true; else field.value = value;
    field.closest?.("details")?.setAttribute("open", "");
  }
  letGo(entry);
  form.scrollIntoView();
}
function button(words, act) {
  const made = document.createElement("button");
  made.type = "button"; made.textContent = words; made.addEventListener("click", act);
  return made;
}
function refusals() {
  if (!back) return;
  const refused = waiting().filter((one) => one.refused);
  if (!refused.length && !back.firstChild) return;
  back.replaceChildren();
  for (const entry of refused) {
    const said = new DOMParser().parseFromString(entry.refused, "text/html").querySelector(".note");
    const note = document.createElement("div");
    note.className = "note"; note.setAttribute("role", "alert");
    const words = document.createElement("p");
    const ball = entry.fields.ball_number ? `${entry.fields.ball_number}: ` : "";
    words.textContent = `${back.dataset.words} ${ball}${said ? said.textContent.trim() : ""}`;
    note.append(words, button(back.dataset.correct, () => correct(entry)), button(back.dataset.drop, () => letGo(entry)));
    back.append(note);
  }
}
document.addEventListener("entry", refusals);
refusals();
addEventListener("online", flush);
addEventListener("offline", show);
show();
flush();
setInterval(() => { if (waiting().some((entry) => !entry.refused)) flush(); }, 15000);

// What the first look at a page does not need waits until the page stands.
const standing = new Promise((done) => {
  if (document.readyState === "complete") done(); else addEventListener("load", () => setTimeout(done), { once: true });
});
if ("serviceWorker" in navigator) standing.then(() => navigator.serviceWorker.register("/static/worker.js", { scope: "/" }));

// Files dropped anywhere on the box go into its form.
for (const box of document.querySelectorAll(".drop")) {
  const input = box.querySelector("input[type=file]");
  for (const name of ["dragover", "dragleave", "drop"]) {
    box.addEventListener(name, (event) => {
      event.preventDefault();
      box.classList.toggle("over", name === "dragover");
      if (name === "drop") { input.files = event.dataTransfer.files; input.form.requestSubmit(); }
    });
  }
}

// Numbers that change while files come in.
const live = document.querySelector("[data-live]");
if (live) standing.then(() => {
  const source = new EventSource(live.dataset.live);
  source.addEventListener("progress", (event) => {
    const state = JSON.parse(event.data);
    live.querySelector("progress").value = state.share;
    live.querySelector("[data-words]").textContent = state.words;
  });
  source.addEventListener("done", (event) => { source.close(); location.assign(JSON.parse(event.data).path); });
  source.addEventListener("changed", () => { source.close(); location.reload(); });
  // What this page itself sends must not make it reload under its own answer.
  for (const name of ["submit", "pagehide"]) addEventListener(name, () => source.close());
});

// A player who is new has no zone yet: this browser's own is the best guess.
const zone = document.querySelector("select[data-own-zone], select[data-zone-if-new]");
const guess = () => { if (!zone.value) zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone; };
if (zone?.matches("[data-own-zone]")) guess();
document.querySelector("input[name=player][value=new]")?.addEventListener("change", guess);
// Browsers that know the style sheet's word for it have brought the open tab into view themselves.
if (!CSS.supports("scroll-initial-target", "nearest")) {
  document.querySelector(".tabs [aria-current]")?.scrollIntoView({ block: "nearest", inline: "center" });
}

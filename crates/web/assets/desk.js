// The desk's own script. Every page works without it; it adds what comes at once: the reading of a value while it is typed,
// news of files that were changed elsewhere, what a tried reading settles.

const body = document.body;
const notice = document.getElementById("notice");
const wait = (ms) => new Promise((done) => setTimeout(done, ms));

async function json(path) {
  const answer = await fetch(path, { headers: { accept: "application/json" } });
  return answer.json();
}

// What a reader can be at, by a name that the next state of the page gives to the same thing; few of them carry an id.
function places() {
  const met = new Map();
  const found = new Map();
  for (const place of document.querySelectorAll("#main :is(a[href], button, input, select, textarea, summary, details, [tabindex])")) {
    const name = place.id || ["class", "name", "href", "aria-label"].map((part) => place.getAttribute(part)).join(" ") + place.tagName;
    met.set(name, (met.get(name) ?? 0) + 1);
    found.set(`${name} ${met.get(name)}`, place);
  }
  return found;
}

// Puts the newest state of this page in the place of the old one, and keeps where the reader was: what has the keyboard, how far
// figures are pushed aside, what is unfolded.
async function renew(path = location.href) {
  const answer = await fetch(path, { headers: { accept: "text/html" } });
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  const kept = [...places()].map(([name, place]) => [name, { focused: place === document.activeElement, pushed: place.scrollLeft, open: place.open }]);
  document.getElementById("main").replaceWith(fresh.getElementById("main"));
  body.dataset.stamp = fresh.body.dataset.stamp;
  const now = places();
  for (const [name, { focused, pushed, open }] of kept) {
    const place = now.get(name);
    if (!place) continue;
    // What the newest state unfolds by itself, as it does with mistakes, stays unfolded.
    if (open && place.tagName === "DETAILS") place.open = true;
    if (pushed) place.scrollLeft = pushed;
    if (focused) place.focus({ preventScroll: true });
  }
  watch();
}

function isTouched() {
  return [...document.querySelectorAll("main form[method=post] input, main form[method=post] textarea")].some((field) => field.type !== "hidden" && field.value !== field.defaultValue);
}

// Says it once: what is said again would be read out again, and a button that is put anew loses the keyboard.
function tell(text, action, name) {
  if (notice.firstChild?.data === `${text} `) return;
  notice.textContent = `${text} `;
  if (action) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = name;
    button.addEventListener("click", () => { notice.textContent = ""; action(); });
    notice.append(button);
  }
}

const SILENT = "The desk does not answer. What you typed is still here; nothing more is saved until it runs again.";

// Files change in an editor too: ask now and then, and at once when the window comes back.
async function look() {
  if (body.dataset.stamp === "0" || document.hidden) return;
  let state;
  try { state = await json("/stamp.json"); } catch { tell(SILENT); return; }
  if (notice.firstChild?.data === `${SILENT} `) notice.textContent = "";
  const pending = document.querySelector("[data-pending]");
  const changed = state.stamp !== body.dataset.stamp;
  if (changed && isTouched()) tell("The files have changed meanwhile. What you typed is still here; saving shows what clashes.", () => renew(), "Show the newest and drop what I typed");
  else if (changed || (pending && String(state.to_work_out) !== pending.dataset.pending)) { await renew(); if (changed) notice.textContent = ""; }
}

async function keepLooking() {
  for (;;) {
    // A long table is not put in place anew all the time while a large site is worked out.
    const pending = document.querySelector("[data-pending]")?.dataset.pending;
    await wait(pending > 50 ? 5000 : pending ? 700 : 2000);
    await look();
  }
}

// While a value is typed: how it is read, or what is wrong with it.
function watchFact(fact) {
  const field = fact.querySelector("input[name^='v:']");
  const form = fact.closest("form[data-check]");
  if (!field || !form) return;
  const told = document.createElement("p");
  told.className = "reads";
  told.setAttribute("role", "status");
  field.after(told);
  let turn = 0;
  field.addEventListener("input", async () => {
    const own = ++turn;
    const changed = field.value.trim() !== field.defaultValue.trim();
    fact.classList.toggle("changed", changed);
    await wait(120);
    if (own !== turn) return;
    if (!changed || !field.value.trim()) { told.textContent = ""; field.removeAttribute("aria-invalid"); return; }
    const answer = await json(`${form.dataset.check}?fact=${encodeURIComponent(field.name.slice(2))}&value=${encodeURIComponent(field.value)}`);
    if (own !== turn) return;
    told.classList.toggle("no", !answer.fine);
    told.textContent = answer.fine ? (answer.reads ? `read as ${answer.reads}` : "") : `${answer.message}${answer.help ? `; ${answer.help}` : ""}`;
    if (answer.fine) field.removeAttribute("aria-invalid"); else field.setAttribute("aria-invalid", "true");
  });
}

// A tried reading shows what it settles without another page.
function watchTrial(form) {
  const field = form.querySelector("input[name=value]");
  let turn = 0;
  const stops = form.dataset.stops?.split("|") ?? [];
  if (stops.length > 2) {
    // Drag through what it may be; the field says where one is.
    const label = document.createElement("label");
    const slider = document.createElement("input");
    Object.assign(slider, { type: "range", min: 0, max: stops.length - 1, step: 1, value: Math.max(stops.indexOf(field.value), 0) });
    slider.setAttribute("aria-valuetext", field.value || stops[0]);
    label.append("Or drag", slider);
    field.closest("label").after(label);
    slider.addEventListener("input", () => {
      field.value = stops[slider.value];
      slider.setAttribute("aria-valuetext", field.value);
      field.dispatchEvent(new Event("input"));
    });
  }
  field.addEventListener("input", async () => {
    const own = ++turn;
    await wait(150);
    if (own !== turn) return;
    const path = `${form.action}?${new URLSearchParams(new FormData(form))}`;
    const answer = await fetch(path, { headers: { accept: "text/html" } });
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (own !== turn) return;
    const old = document.querySelector("main .outcome, main form[data-trial] ~ p.wrong");
    const now = fresh.querySelector("main .outcome, main form[data-trial] ~ p.wrong");
    if (old) old.remove();
    if (now) (document.querySelector(".offered") ?? form).after(now);
  });
}

function watch() {
  document.querySelectorAll("form[data-check] .fact").forEach(watchFact);
  document.querySelectorAll("form[data-trial]").forEach(watchTrial);
}

// In a narrow window the tab of this page is pushed into sight. Not by scrollIntoView: some browsers would take the tab key from there,
// past the link to the content.
function showTab() {
  const tab = document.querySelector(".tabs [aria-current]");
  const row = tab?.closest("ul");
  if (!row) return;
  const [at, within] = [tab.getBoundingClientRect(), row.getBoundingClientRect()];
  row.scrollLeft += at.left + at.width / 2 - within.left - within.width / 2;
}

addEventListener("beforeunload", (event) => { if (isTouched() && !document.querySelector("form[data-sent]")) event.preventDefault(); });
addEventListener("submit", (event) => event.target.setAttribute("data-sent", ""));
addEventListener("visibilitychange", look);
showTab();
watch();
keepLooking();

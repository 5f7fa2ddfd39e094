// Acts wait on the phone until the house has them.
//
// Each act gets an id here; the house does an id once, however often it arrives. An act is removed only
// after the house has answered it. What is kept: the job's reference, what was typed for the act, the photo.
(() => {
  const STORE = "acts";
  const LONGEST_EDGE = 2560;
  let opening;

  const open = () => opening ||= new Promise((done, failed) => {
    const request = indexedDB.open("bench", 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: "place", autoIncrement: true });
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });

  const inStore = async (mode, work) => {
    const base = await open();
    return new Promise((done, failed) => {
      const change = base.transaction(STORE, mode, { durability: "strict" });
      const request = work(change.objectStore(STORE));
      change.oncomplete = () => done(request && request.result);
      change.onerror = change.onabort = () => failed(change.error);
    });
  };
  const all = () => inStore("readonly", (store) => store.getAll());
  const keep = (act) => inStore("readwrite", (store) => store.put(act));
  const drop = (place) => inStore("readwrite", (store) => store.delete(place));

  const newId = () => {
    if (crypto.randomUUID) return crypto.randomUUID();
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 15) | 64;
    bytes[8] = (bytes[8] & 63) | 128;
    const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  };

  // A photo larger than a screen can show costs minutes on a bad line; the house makes its own sizes anyway.
  const smaller = async (file) => {
    try {
      const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
      const scale = LONGEST_EDGE / Math.max(picture.width, picture.height);
      if (scale >= 1) return file;
      const sheet = document.createElement("canvas");
      sheet.width = Math.round(picture.width * scale);
      sheet.height = Math.round(picture.height * scale);
      sheet.getContext("2d").drawImage(picture, 0, 0, sheet.width, sheet.height);
      picture.close();
      const body = await new Promise((done) => sheet.toBlob(done, "image/jpeg", 0.9));
      return body || file;
    } catch {
      return file; // a kind of photo this browser cannot open: the house can
    }
  };

  const take = async (form, pressed) => {
    const act = { id: newId(), url: form.action, kind: form.dataset.act, at: new Date().toISOString(), fields: [], missing: null };
    for (const [name, value] of new FormData(form, pressed)) {
      if (["csrfmiddlewaretoken", "act_id", "made_at"].includes(name)) continue;
      if (!(value instanceof File)) act.fields.push([name, value]);
      else if (value.size) {
        act.photo = await smaller(value);
        act.photoName = act.photo === value ? value.name : "photo.jpg";
        act.photoField = name;
      }
    }
    act.place = await keep(act);
    return act;
  };

  let token = () => (document.querySelector("input[name=csrfmiddlewaretoken]") || {}).value || "";
  const freshToken = async (url) => {
    const page = await fetch(url.replace(/act\/[^/]+\/$/, ""), { redirect: "manual", cache: "no-store" });
    if (!page.ok) return false;
    const box = new DOMParser().parseFromString(await page.text(), "text/html").querySelector("input[name=csrfmiddlewaretoken]");
    if (!box) return false;
    token = () => box.value;
    return true;
  };

  const post = (act) => {
    const body = new FormData();
    body.append("csrfmiddlewaretoken", token());
    body.append("act_id", act.id);
    body.append("made_at", act.at);
    for (const [name, value] of act.fields) body.append(name, value);
    if (act.photo) body.append(act.photoField, act.photo, act.photoName);
    return fetch(act.url, { method: "POST", body, headers: { Accept: "application/json" }, redirect: "manual" });
  };

  // One act: "sent", "refused" (kept, with the reasons), "later" (no line), "sign-in" (the house asks who it is).
  const send = async (act) => {
    let answer;
    try {
      answer = await post(act);
      if (answer.status === 403 && await freshToken(act.url)) answer = await post(act);
    } catch {
      return { outcome: "later" };
    }
    if (answer.type === "opaqueredirect" || answer.status === 403) return { outcome: "sign-in" };
    if (answer.ok) {
      const said = await answer.json().catch(() => ({}));
      await drop(act.place);
      return { outcome: "sent", said };
    }
    if ([404, 409, 413, 422].includes(answer.status)) {
      const told = await answer.json().catch(() => ({ missing: [{ words: "This ring is not on the bench for you any more.", path: "" }] }));
      await keep({ ...act, missing: told.missing });
      return { outcome: "refused", missing: told.missing };
    }
    return { outcome: "later" };
  };

  let running = null;
  const flushOnce = async () => {
    const outcomes = new Map();
    for (const act of await all()) {
      if (act.missing) continue;
      const result = await send(act);
      outcomes.set(act.id, result);
      if (result.outcome === "later" || result.outcome === "sign-in") break; // in order, or not at all
    }
    const last = [...outcomes.values()].pop();
    await show(last && last.outcome === "sign-in");
    return outcomes;
  };
  const flush = () => {
    const guarded = () => navigator.locks ? navigator.locks.request("bench-queue", flushOnce) : flushOnce();
    running = (running || Promise.resolve()).then(guarded, guarded);
    return running;
  };

  const age = (since) => {
    const minutes = Math.round((Date.now() - Date.parse(since)) / 60000);
    if (minutes < 1) return "just now";
    return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  };
  const WORDS = { photo: "photo", weigh: "weight", done: "step done", start: "step start", problem: "problem", count: "stone count", "time-on": "time on", "time-off": "time off" };
  const element = (name, words, className) => {
    const made = document.createElement(name);
    if (words) made.textContent = words;
    if (className) made.className = className;
    return made;
  };

  const refusedRow = (act) => {
    const row = element("li");
    row.append(element("b", `Not taken: ${WORDS[act.kind]} on ${act.url.split("/").at(-4)}`));
    for (const gap of act.missing) {
      const line = element("p", `${gap.words} `);
      if (gap.path && gap.path.startsWith("/")) {
        const way = element("a", "Do it now");
        way.href = gap.path;
        line.append(way);
      }
      row.append(line);
    }
    if (act.photo) {
      const picture = element("img");
      picture.src = URL.createObjectURL(act.photo);
      picture.alt = "The photo, still here";
      row.append(picture);
    }
    const again = element("button", "Try again", "bbtn");
    again.addEventListener("click", async () => { await keep({ ...act, missing: null }); await flush(); });
    const away = element("button", "Drop it", "bbtn");
    away.addEventListener("click", async () => {
      if (away.dataset.asked) { await drop(act.place); await show(); }
      away.dataset.asked = "1";
      away.textContent = "Drop it for good";
    });
    row.append(again, away);
    return row;
  };

  const show = async (signIn) => {
    const box = document.querySelector("[data-waiting]");
    if (!box) return;
    const acts = await all();
    const waiting = acts.filter((act) => !act.missing);
    const refused = acts.filter((act) => act.missing);
    box.hidden = !acts.length;
    box.replaceChildren();
    if (waiting.length) {
      const many = waiting.length === 1 ? `1 ${WORDS[waiting[0].kind]} waits` : `${waiting.length} acts wait`;
      box.append(element("span", `${many} to be sent, the oldest since ${age(waiting[0].at)}. `));
      if (signIn) {
        const way = element("a", "Sign in again to send");
        way.href = location.pathname;
        box.append(way);
      }
    }
    if (refused.length) {
      const list = element("ul", "", "waits");
      list.append(...refused.map(refusedRow));
      box.append(list);
    }
  };

  document.addEventListener("submit", async (event) => {
    const form = event.target;
    if (event.defaultPrevented || !form.dataset.act || !window.indexedDB) return;
    event.preventDefault();
    if (form.dataset.busy) return;
    form.dataset.busy = "1";
    try {
      const act = await take(form, event.submitter || undefined);
      form.dispatchEvent(new CustomEvent("bench:kept", { bubbles: true, detail: act }));
      const result = (await flush()).get(act.id) || { outcome: "later" };
      form.dispatchEvent(new CustomEvent(`bench:${result.outcome}`, { bubbles: true, detail: { act, ...result } }));
    } catch {
      // This phone cannot keep anything (a private window, a full store): send it the plain way.
      form.submit();
    } finally {
      delete form.dataset.busy;
    }
  });
  for (const name of ["online", "focus", "pageshow"]) window.addEventListener(name, () => flush());
  document.addEventListener("visibilitychange", () => document.hidden || flush());
  setInterval(() => all().then((acts) => acts.some((act) => !act.missing) && flush()), 30000);
  document.addEventListener("DOMContentLoaded", () => flush());
})();

// Comforts of the bench: keypad, running clock, screen that stays on, what was typed kept over an
// interruption. Every act works without this file by its plain form.
(() => {
  document.documentElement.classList.add("js");
  const find = (words, root = document) => root.querySelector(words);
  const each = (words, work, root = document) => root.querySelectorAll(words).forEach(work);
  const form = () => find("form.bform[data-act]");
  const jobPath = () => location.pathname.split("/").slice(0, 4).join("/") + "/";

  // ---- the keypad and its tare -------------------------------------------------------------------
  const keypad = () => {
    const pad = find("[data-keypad]");
    if (!pad) return;
    const grams = find("#id_grams"), tare = find("#id_tare"), button = find("[data-tare]");
    let box = grams;
    pad.hidden = button.hidden = false;
    for (const field of [grams, tare]) {
      field.setAttribute("inputmode", "none");
      field.addEventListener("focus", () => { box = field; });
    }
    const typed = () => box.dispatchEvent(new Event("input", { bubbles: true }));
    pad.addEventListener("click", (event) => {
      const key = event.target.dataset.key;
      if (!key) return;
      if (key === "back") box.value = box.value.slice(0, -1);
      else if (key !== "." || !box.value.includes(".")) box.value += key;
      typed();
    });
    button.addEventListener("click", () => {
      tare.value = grams.value;
      grams.value = "";
      box = grams;
      grams.focus();
      typed();
    });
  };

  // ---- a weight that looks wrong is asked about once --------------------------------------------------
  const JUMP = 0.25;
  const doubt = (target) => {
    const what = find("#id_what").value;
    const before = find(`[data-before] [data-kind="${what}"]`);
    const mg = (id) => Math.round(1000 * parseFloat((find(id).value || "0").replace(",", ".")));
    const net = mg("#id_grams") - mg("#id_tare");
    if (!before || !(net > 0) || Math.abs(net - before.dataset.mg) <= JUMP * before.dataset.mg) return "";
    return `${(net / 1000).toFixed(2)} g is far from the ${(before.dataset.mg / 1000).toFixed(2)} g before. Look at the scale once more; if it is right, press Keep again.`;
  };
  document.addEventListener("submit", (event) => {
    if (event.target.dataset.act !== "weigh" || event.target.dataset.sure) return;
    const words = doubt(event.target);
    if (!words) return;
    event.preventDefault();
    const asked = document.createElement("p");
    asked.className = "bstop";
    asked.setAttribute("role", "alert");
    asked.textContent = words;
    event.target.prepend(asked);
    event.target.dataset.sure = "1";
    const sure = document.createElement("input");
    sure.type = "hidden"; sure.name = "sure"; sure.value = "on";
    event.target.append(sure);
  }, true);

  // ---- counting with plus and minus --------------------------------------------------------------------
  const counting = () => {
    each("[data-more], [data-less]", (button) => {
      button.hidden = false;
      button.addEventListener("click", () => {
        const box = document.getElementById(button.dataset.more || button.dataset.less);
        box.value = Math.max(0, (parseInt(box.value, 10) || 0) + (button.dataset.more ? 1 : -1));
        box.dispatchEvent(new Event("input", { bubbles: true }));
      });
    });
    each(".blot", (group) => {
      const number = (name) => parseInt((find(`[name^="${name}"]:not([name*="_ct_"])`, group) || {}).value, 10) || 0;
      const issued = () => parseInt(group.dataset.issued, 10) || number("issued");
      const gone = () => number("returned") + number("broken") + number("lost");
      const typed = () => find('[name^="set"]', group).value !== "";
      const sum = find("[data-sum]", group), rest = find("[data-rest]", group);
      const say = () => {
        const left = issued() - number("set") - gone();
        sum.textContent = !issued() || !typed() ? "" : left === 0 ? "Every stone is accounted for." : left > 0 ? `${left} not accounted for.` : `${-left} more than were issued.`;
      };
      if (rest) {
        rest.hidden = false;
        rest.addEventListener("click", () => {
          const box = find('[name^="set"]', group);
          box.value = Math.max(0, issued() - gone());
          box.dispatchEvent(new Event("input", { bubbles: true }));
        });
      }
      group.addEventListener("input", say);
      say();
    });
  };

  // ---- photographs: chosen is sent ------------------------------------------------------------------------
  const photographs = () => each(".bpick input[type=file]", (box) => box.addEventListener("change", () => {
    if (!box.files.length) return;
    const view = find("[data-preview]");
    if (view) {
      const picture = document.createElement("img");
      picture.src = URL.createObjectURL(box.files[0]);
      picture.alt = "The photo just taken";
      view.replaceChildren(picture);
    } else {
      find(`label[for="${box.id}"]`).textContent = "Photo taken";
    }
    if (box.form.dataset.act === "photo") box.form.requestSubmit();
  }));

  // ---- the camera with the outline over it, where the browser gives one -----------------------------------
  const SHARP = 2560;
  const camera = () => {
    const view = find("[data-preview]"), live = find("[data-live]"), take = find("[data-take]");
    if (!view || !live || !(navigator.mediaDevices && navigator.mediaDevices.getUserMedia)) return;
    const system = find("[data-system]"), lines = find("svg", view);
    let stream = null;
    const stop = () => {
      if (stream) stream.getTracks().forEach((track) => track.stop());
      stream = null;
      take.hidden = true;
      system.hidden = live.hidden = false;
      view.classList.remove("live");
      view.replaceChildren(lines);
    };
    const start = async () => {
      try {
        stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment", width: { ideal: SHARP }, height: { ideal: SHARP } }, audio: false });
      } catch {
        live.hidden = true; // no camera, or the answer was no: the phone's own camera is still there
        return;
      }
      const film = document.createElement("video");
      film.muted = film.playsInline = film.autoplay = true;
      film.setAttribute("aria-label", "What the camera sees");
      film.srcObject = stream;
      view.classList.add("live");
      view.replaceChildren(film, lines);
      await film.play().catch(() => null);
      take.hidden = false;
      system.hidden = live.hidden = true;
    };
    take.addEventListener("click", async () => {
      const film = find("video", view);
      if (!film || !film.videoWidth) return;
      const sheet = document.createElement("canvas");
      sheet.width = film.videoWidth; sheet.height = film.videoHeight;
      sheet.getContext("2d").drawImage(film, 0, 0);
      const body = await new Promise((done) => sheet.toBlob(done, "image/jpeg", 0.92));
      stop();
      const box = find("#id_camera"), carrier = new DataTransfer();
      carrier.items.add(new File([body], "photo.jpg", { type: "image/jpeg" }));
      box.files = carrier.files;
      box.dispatchEvent(new Event("change", { bubbles: true }));
    });
    live.hidden = false;
    live.addEventListener("click", start);
    window.addEventListener("pagehide", stop);
    document.addEventListener("visibilitychange", () => document.hidden && stream && stop());
    // Allowed before: the shot is one tap away, and nobody is asked again.
    if (navigator.permissions) navigator.permissions.query({ name: "camera" }).then((answer) => answer.state === "granted" && start()).catch(() => null);
  };

  // ---- what was typed stays over an interruption ------------------------------------------------------------
  const STALE = 12 * 3600 * 1000; // a draft of the day before is no interruption any more
  const drafts = () => {
    const typing = form();
    if (!typing || find("[role=alert]", typing.parentElement)) return;
    const name = `draft:${location.pathname}`;
    const boxes = () => [...typing.elements].filter((box) => box.name && !["hidden", "file", "submit"].includes(box.type));
    try {
      const { at = 0, typed: kept = {} } = JSON.parse(localStorage.getItem(name) || "{}");
      if (Date.now() - at > STALE) localStorage.removeItem(name);
      else for (const box of boxes()) if (kept[box.name] !== undefined && box.type !== "checkbox") box.value = kept[box.name];
      typing.addEventListener("input", () => localStorage.setItem(name, JSON.stringify({ at: Date.now(), typed: Object.fromEntries(boxes().map((box) => [box.name, box.value])) })));
      document.addEventListener("bench:kept", () => localStorage.removeItem(name));
    } catch { /* no store: nothing to resume from */ }
  };

  // ---- what became of an act ----------------------------------------------------------------------------------
  const say = (words) => {
    let place = find("#bsaid");
    if (!place) {
      place = document.createElement("p");
      place.id = "bsaid"; place.className = "bs"; place.setAttribute("role", "status");
      find("main").append(place);
    }
    place.textContent = words;
  };
  document.addEventListener("bench:sent", (event) => {
    if (navigator.vibrate) navigator.vibrate(30);
    const next = event.detail.said.next || jobPath();
    location.replace(`${next}?did=${event.detail.act.id}`);
  });
  document.addEventListener("bench:later", (event) => {
    if (navigator.vibrate) navigator.vibrate([20, 40, 20]);
    say("Kept on this phone. It goes out by itself when there is a line.");
    if (event.target.classList.contains("bform")) event.target.reset();
  });
  document.addEventListener("bench:refused", () => {
    say("Not taken: see below why. Nothing is lost.");
    const box = find("[data-waiting]");
    if (box) box.scrollIntoView({ block: "center" });
  });

  // ---- clock, undo, screen, memory --------------------------------------------------------------------------------
  const clock = () => each("[data-since]", (place) => {
    const minutes = Math.max(0, Math.floor((Date.now() - Date.parse(place.dataset.since)) / 60000));
    place.textContent = `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}`;
  });
  const undo = () => each("[data-undo]", (place) => setTimeout(() => place.remove(), 10000));
  const stayAwake = async () => {
    try {
      if (!document.hidden && navigator.wakeLock) await navigator.wakeLock.request("screen");
    } catch { /* a phone low on power says no */ }
  };
  const fromMemory = () => {
    const shown = Date.parse((find("[data-shown]") || { dataset: {} }).dataset.shown || "");
    if (navigator.onLine || !shown) return;
    const words = document.createElement("p");
    words.className = "bq";
    words.textContent = `No line. This page is as of ${new Date(shown).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" })}.`;
    find("main").prepend(words);
  };
  const offline = async () => {
    if (!("serviceWorker" in navigator)) return;
    const worker = await navigator.serviceWorker.register("/studio/bench/worker.js", { scope: "/studio/bench/" }).catch(() => null);
    const acts = find("[data-acts]");
    if (!worker || !acts || !navigator.onLine) return;
    const ready = await navigator.serviceWorker.ready;
    const path = `/studio/bench/${acts.dataset.acts}/`;
    ready.active.postMessage({ keep: [path, ...["photograph/", "weigh/", "problem/", "count/"].map((part) => path + part)], files: performance.getEntriesByType("resource").map((entry) => entry.name) });
  };

  document.addEventListener("DOMContentLoaded", () => {
    for (const work of [keypad, counting, photographs, camera, drafts, clock, undo, stayAwake, fromMemory]) work();
    setInterval(clock, 20000);
    document.addEventListener("visibilitychange", stayAwake);
  });
  window.addEventListener("load", () => setTimeout(offline, 500));
})();

(function () {
  "use strict";
  var d = document;
  var survey = JSON.parse(d.getElementById("survey").textContent);
  var things = survey.things, byKey = {}, entries = {}, answers = {}, now = { key: "", column: 0, typed: "" };
  var ready = false, db = null, main = d.getElementById("main"), queue = [];
  things.forEach(function (t) {
    byKey[t.key] = t;
    t.columns = survey.columns[t.kind].map(function (c) { return Object.assign({}, c, { last: t.lasts[c.name] || "" }); });
  });

  function el(tag, text, attributes) {
    var e = d.createElement(tag);
    if (text !== undefined) { e.textContent = text; }
    Object.keys(attributes || {}).forEach(function (k) { e.setAttribute(k, attributes[k]); });
    return e;
  }
  function button(text, what, attributes) {
    var b = el("button", text, attributes);
    b.type = "button";
    b.addEventListener("click", what);
    return b;
  }
  function say(text) { d.getElementById("kept").textContent = text; }
  function today() {
    var t = new Date();
    return t.getFullYear() + "-" + String(t.getMonth() + 1).padStart(2, "0") + "-" + String(t.getDate()).padStart(2, "0");
  }
  // The day of the readings is that of the first key: a night shift does not tear a row in two.
  var day = survey.day || today();

  // ---- what is kept: a log of entries that only grows, so that two tabs lose nothing of each other
  function opened(done) {
    var ask;
    try { ask = indexedDB.open("flangeway " + survey.sum, 1); } catch (e) { return done(null); }
    ask.onupgradeneeded = function () {
      ask.result.createObjectStore("log", { autoIncrement: true });
      ask.result.createObjectStore("now");
    };
    ask.onsuccess = function () { done(ask.result); };
    ask.onerror = function () { done(null); };
  }
  function lost() { say("NOT KEPT: the device has no room or keeps nothing. Save the sheets before you close this page."); }
  // Kept is said only when nothing is still on its way to the device. While one write is on its way what comes after
  // waits for the next, because a device that makes sure of each takes longer than the fingers.
  var waiting = [], sent = [], typing = false, writing = false, failed = false;
  function flush() {
    if (writing || !(waiting.length || typing)) { return; }
    if (!db) { return lost(); }
    var t, batch = waiting, ofNow = typing;
    try {
      t = db.transaction(["log", "now"], "readwrite", { durability: "strict" });
      batch.forEach(function (e) { t.objectStore("log").add(e); });
      if (ofNow) { t.objectStore("now").put({ key: now.key, column: now.column, typed: now.typed }, "now"); }
    } catch (e) { failed = true; return lost(); }
    waiting = [];
    sent = batch;
    typing = false;
    writing = true;
    if (!failed) { say("keeping"); }
    t.oncomplete = function () {
      writing = false;
      sent = [];
      if (channel && batch.length) { channel.postMessage("log"); }
      if (waiting.length || typing) { flush(); } else if (!failed) { say("kept on this device"); }
    };
    t.onabort = function () {
      writing = false;
      failed = true;
      sent = [];
      waiting = batch.concat(waiting);
      lost();
    };
  }
  function keep(e) { waiting.push(e); flush(); }
  function keepNow() { typing = true; flush(); }
  var log = [], channel = null;
  try { channel = new BroadcastChannel("flangeway " + survey.sum); channel.onmessage = function () { restore(true, show); }; } catch (e) { channel = null; }
  // restore takes what is kept: all of it, or the entries alone when another tab has added some.
  function restore(entriesAlone, done) {
    if (!db) { return done(); }
    var t = db.transaction(["log", "now"], "readonly"), all = t.objectStore("log").getAll(), at = t.objectStore("now").get("now");
    t.oncomplete = function () {
      log = all.result.concat(sent, waiting);
      entries = {};
      if (!log.length) { day = today(); }
      log.forEach(function (e) { if (byKey[e.key]) { set(e.key, e.column, e.text); day = e.day || day; } });
      if (!entriesAlone && at.result && byKey[at.result.key]) { now = at.result; }
      if (ready) { take(); }
      done();
    };
    t.onerror = done;
  }
  function set(key, column, text) {
    entries[key] = entries[key] || {};
    if (text === "") { delete entries[key][column]; } else { entries[key][column] = text; }
  }

  // ---- the engine
  function call(name, value) {
    var out = JSON.parse(window[name](JSON.stringify(value)));
    if (out.error) { throw new Error(out.error); }
    return out.result;
  }
  function take() {
    var list = [];
    Object.keys(entries).forEach(function (k) {
      Object.keys(entries[k]).forEach(function (c) { list.push({ key: k, column: c, text: entries[k][c] }); });
    });
    call("flangewayOpen", { files: survey.files, day: day });
    (call("flangewayTake", list) || []).forEach(function (e) {
      answers[e.key] = { wrong: e.column + " " + e.text + " cannot be taken", verdicts: [] };
    });
  }
  window.flangewayReady = function () {
    ready = true;
    try { take(); } catch (e) { ready = false; say("the readings are kept, and cannot be judged: " + e.message); return; }
    queue.splice(0).forEach(function (e) { judged(e); });
    show();
  };
  function start() {
    var text = d.getElementById("engine").textContent.trim(), raw = atob(text), bytes = new Uint8Array(raw.length);
    for (var i = 0; i < raw.length; i++) { bytes[i] = raw.charCodeAt(i); }
    var go = new Go();
    new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer().then(function (b) {
      return WebAssembly.instantiate(b, go.importObject);
    }).then(function (w) { go.run(w.instance); }).catch(function (e) { say("the readings are kept, and not judged here: " + e.message); });
  }
  function judged(e) {
    var began = performance.now(), a = call("flangewayEnter", e);
    answers[e.key] = a;
    a.ms = performance.now() - began;
    d.body.setAttribute("data-ms", String(Math.round(a.ms)));
    return a;
  }

  // ---- entering
  function enter(key, column, text) {
    var e = { key: key, column: column, text: text, day: day };
    if (ready) {
      var a = judged(e);
      if (a.wrong) { return false; }
    } else { queue.push(e); }
    log.push(e);
    set(key, column, text);
    keep(e);
    return true;
  }
  function undo() {
    // The last entry that still stands gives way to what stood before it.
    var stands = [];
    log.forEach(function (e) { if (e.undo) { stands.pop(); } else { stands.push(e); } });
    var last = stands.pop();
    if (!last) { say("there is nothing to undo"); return; }
    var before = "";
    stands.forEach(function (e) { if (e.key === last.key && e.column === last.column) { before = e.text; } });
    var e = { key: last.key, column: last.column, text: before, day: day, undo: true };
    if (ready) { judged(e); } else { queue.push(e); }
    log.push(e);
    set(e.key, e.column, before);
    keep(e);
    go(e.key, byKey[e.key].columns.findIndex(function (c) { return c.name === e.column; }));
  }

  // ---- screens
  function go(key, column) {
    now = { key: key, column: column || 0, typed: "" };
    keepNow();
    show();
    var h = main.querySelector("h2");
    if (h) { h.setAttribute("tabindex", "-1"); h.focus(); }
  }
  function worst(key) {
    var a = answers[key];
    return a && a.verdicts.length ? a.verdicts[0].verdict : "";
  }
  function list() {
    var at = "", ul = null;
    things.forEach(function (t) {
      if (t.location !== at) {
        main.appendChild(el("h2", t.location));
        ul = main.appendChild(el("ul", undefined, { "class": "places" }));
        at = t.location;
      }
      var n = Object.keys(entries[t.key] || {}).length, text = t.key + ": " + (n ? n + " read today" : "not read today");
      if (worst(t.key)) { text += ", " + worst(t.key); }
      var li = ul.appendChild(el("li"));
      li.appendChild(button(text, function () { go(t.key, 0); }, { "data-key": t.key }));
    });
  }
  // sixteenths is a length as whole sixteenths, or null.
  function sixteenths(text) {
    var m = /^(?:(\d+)(?:[- ](\d+)\/(\d+))?|(\d+)\/(\d+))$/.exec(text.trim());
    if (!m) { return null; }
    var n = m[4] ? 0 : Number(m[1]), top = Number(m[2] || m[4] || 0), under = Number(m[3] || m[5] || 1), s = n * 16 + top * 16 / under;
    return s === Math.round(s) ? s : null;
  }
  function inches(s) {
    var whole = Math.floor(s / 16), top = s % 16, under = 16;
    while (top && top % 2 === 0) { top /= 2; under /= 2; }
    return top ? (whole ? whole + "-" : "") + top + "/" + under : String(whole);
  }
  function type(text) { now.typed = text; keepNow(); show(true); }
  function next() {
    var t = byKey[now.key], i = things.indexOf(t);
    if (now.column + 1 < t.columns.length) { go(t.key, now.column + 1); } else if (i + 1 < things.length) { go(things[i + 1].key, 0); } else { go("", 0); }
  }
  function accept(text) { if (enter(now.key, byKey[now.key].columns[now.column].name, text)) { next(); } else { show(true); } }
  function keys(c) {
    var box = el("div", undefined, { "class": "keys" });
    function key(text, add, label) { box.appendChild(button(text, function () { type(now.typed + add); }, { "aria-label": label || text, "data-key": text })); }
    "1234567890".split("").forEach(function (n) { key(n, n); });
    if (c.unit === "in") {
      key("-", "-", "and, before a fraction");
      key("/", "/", "over");
    }
    key(".", ".", "point");
    key("<", "<", "notch: less than, it touches");
    key(">=", ">=", "notch: at least, it passes");
    box.appendChild(button("\u232b", function () { type(now.typed.slice(0, -1)); }, { "aria-label": "delete the last key", "data-key": "delete" }));
    if (c.unit === "in") {
      [["-1/16", -1], ["+1/16", 1]].forEach(function (x) {
        box.appendChild(button(x[0], function () {
          var s = sixteenths(now.typed || c.last || "");
          if (s !== null && s + x[1] >= 0) { type(inches(s + x[1])); }
        }, { "aria-label": x[1] < 0 ? "a sixteenth less" : "a sixteenth more", "data-key": x[0] }));
      });
      ["1/4", "1/2", "3/4"].forEach(function (f) {
        box.appendChild(button(f, function () { type(/^\d+$/.test(now.typed) ? now.typed + "-" + f : f); }, { "data-key": f }));
      });
    }
    return box;
  }
  function words(c) {
    var box = el("div", undefined, { "class": "wide" }), has = now.typed.split(" ").filter(Boolean);
    c.words.concat(c.many ? ["none"] : []).forEach(function (w) {
      box.appendChild(button(w.replace(/_/g, " "), function () {
        var all;
        if (!c.many || w === "none") { all = has.indexOf(w) >= 0 ? [] : [w]; } else {
          all = has.filter(function (x) { return x !== w && x !== "none"; });
          if (has.indexOf(w) < 0) { all.push(w); }
        }
        type(all.join(" "));
      }, { "aria-pressed": String(has.indexOf(w) >= 0), "data-key": w }));
    });
    return box;
  }
  function verdicts(a) {
    var box = el("section", undefined, { "aria-label": "verdicts" });
    if (!a) { box.appendChild(el("p", ready ? "" : "judged as soon as the engine has started")); return box; }
    if (a.wrong) { box.appendChild(el("p", a.wrong, { "class": "wrong", role: "alert" })); }
    (a.odd || []).forEach(function (o) { box.appendChild(el("p", "Look again: " + o, { role: "alert" })); });
    if ((a.missing || []).length) { box.appendChild(el("p", "Still to read: " + a.missing.join(", "))); }
    var t = box.appendChild(el("table")), head = t.appendChild(el("tr"));
    ["check", "verdict", "worst, room left, what settles or mends"].forEach(function (h) { head.appendChild(el("th", h, { scope: "col" })); });
    a.verdicts.forEach(function (v) {
      var r = t.appendChild(el("tr"));
      r.appendChild(el("td", v.check + (byKey[now.key] && byKey[now.key].kind === "wheel" ? " at " + v.feature : "")));
      r.appendChild(el("td", v.verdict + " (" + v.conflict + " conflict, " + v.undecided + " undecided, " + v.not_measured + " not measured, " + v.clear + " clear)", { "class": v.verdict }));
      var more = [v.worst, v.margin].filter(Boolean);
      if (v.verdict === "conflict") { more.push(v.happens); }
      if ((v.settle || []).length) { more.push("settle: " + v.settle.join(", ")); }
      (v.fix || []).forEach(function (f) { more.push("mend: " + f); });
      r.appendChild(el("td", more.join("; ")));
    });
    return box;
  }
  function one() {
    var t = byKey[now.key], c = t.columns[now.column], mine = (entries[t.key] || {})[c.name];
    main.appendChild(el("h2", t.key + " (" + t.location + "): " + c.name));
    main.appendChild(el("p", c.meaning + (c.unit ? ", " + c.unit : "")));
    main.appendChild(el("p", (c.last ? "last " + c.last + (t.last ? " on " + t.last : "") : "not read before") + (mine ? "; today " + mine : "") +
      " (" + (now.column + 1) + " of " + t.columns.length + ")"));
    if (c.name === "note") {
      var input = main.appendChild(el("input", undefined, { "aria-label": "note", "data-key": "note" }));
      input.value = now.typed;
      input.addEventListener("input", function () { now.typed = input.value; keepNow(); });
    } else {
      main.appendChild(el("output", now.typed || "\u00a0", { "class": "typed", "aria-live": "polite" }));
      main.appendChild(c.words ? words(c) : keys(c));
    }
    var box = main.appendChild(el("div", undefined, { "class": "wide" }));
    box.appendChild(button("Take it", function () { if (now.typed) { accept(now.typed); } }, { "data-key": "take" }));
    box.appendChild(button("Skip", next, { "data-key": "skip" }));
    if (!c.words && c.name !== "note") {
      box.appendChild(button("None there", function () { accept("none"); }, { "data-key": "none" }));
      box.appendChild(button("Cannot reach", function () { accept("n/m"); }, { "data-key": "n/m" }));
    }
    if (c.last) { box.appendChild(button("As before: " + c.last, function () { accept(c.last); }, { "data-key": "before" })); }
    box.appendChild(button("Before this", function () { if (now.column) { go(t.key, now.column - 1); } }, { "data-key": "previous" }));
    if (ready && !answers[t.key] && Object.keys(entries[t.key] || {}).length) {
      try { answers[t.key] = call("flangewayJudge", t.key); } catch (e) { say(e.message); }
    }
    main.appendChild(verdicts(answers[t.key]));
  }
  function show(same) {
    var focus = same === true && d.activeElement ? d.activeElement.getAttribute("data-key") : null;
    main.textContent = "";
    d.getElementById("back").hidden = !now.key;
    d.getElementById("today").textContent = "readings of " + day + (day === today() ? "" : ", and today is " + today() + ": save the sheets and begin a new day");
    if (now.key) { one(); } else { list(); }
    if (focus) {
      var again = main.querySelector('[data-key="' + CSS.escape(focus) + '"]');
      if (again) { again.focus(); }
    }
  }
  function save() {
    if (!ready) { say("the engine has not started yet"); return; }
    var files = call("flangewayFiles", 0), names = Object.keys(files);
    if (!names.length) { say("nothing was read yet"); return; }
    names.forEach(function (name) {
      var a = el("a", undefined, { download: name });
      a.href = URL.createObjectURL(new Blob([files[name]], { type: "text/csv" }));
      d.body.appendChild(a);
      a.click();
      a.remove();
      setTimeout(function () { URL.revokeObjectURL(a.href); }, 60000);
    });
    say("saved " + names.join(", ") + ": put them into the survey's folder, or merge them");
    d.getElementById("anew").hidden = false;
  }
  // What was read goes only when it was saved, and the key is pressed twice.
  var sure = false;
  function anew() {
    var b = d.getElementById("anew");
    if (!sure) { sure = true; b.textContent = "Begin a new day: what was saved goes from this device. Press again"; return; }
    if (db) { db.transaction("log", "readwrite").objectStore("log").clear(); }
    log = []; entries = {}; answers = {}; sure = false; day = today();
    b.textContent = "Begin a new day";
    b.hidden = true;
    if (ready) { take(); }
    if (channel) { channel.postMessage("log"); }
    go("", 0);
  }
  d.getElementById("anew").addEventListener("click", anew);
  d.getElementById("back").addEventListener("click", function () { go("", 0); });
  d.getElementById("undo").addEventListener("click", undo);
  d.getElementById("save").addEventListener("click", save);
  d.addEventListener("keydown", function (e) {
    if (!now.key || e.ctrlKey || e.metaKey || e.altKey || e.target.tagName === "INPUT") { return; }
    var c = byKey[now.key].columns[now.column];
    if (c.words || c.name === "note") { return; }
    if (/^[0-9.\/<>=-]$/.test(e.key)) { type(now.typed + e.key); e.preventDefault(); }
    if (e.key === "Backspace") { type(now.typed.slice(0, -1)); e.preventDefault(); }
    if (e.key === "Enter" && e.target.tagName !== "BUTTON" && now.typed) { accept(now.typed); e.preventDefault(); }
  });
  if (survey.folder && "serviceWorker" in navigator && location.protocol !== "file:") {
    navigator.serviceWorker.register("worker.js").catch(function () { say("this page opens with a signal alone: the device does not keep it"); });
  }
  show();
  opened(function (x) {
    db = x;
    if (!db) { lost(); } else { say("kept on this device"); }
    restore(false, function () { show(); d.body.setAttribute("data-open", "yes"); setTimeout(start, 0); });
  });
})();

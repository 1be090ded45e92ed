(function () {
  "use strict";
  var d = document;
  var surveyText = d.getElementById("survey").textContent, survey = JSON.parse(surveyText);
  function plain() { return Object.create(null); } // a name is a name, whatever it is
  var things = survey.things, byKey = plain(), entries = plain(), answers = plain(), now = { key: "", column: 0, typed: "" };
  var ready = false, db = null, main = d.getElementById("main"), openDay = "";
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
  // Columns are written as people say them, and a thing by its kind and name.
  function words(text) { return text.replace(/\b[a-z]+(?:_[a-z]+)+\b/g, function (w) { return Object.hasOwn(survey.words, w) ? survey.words[w] : w; }); }
  function named(key) { var at = key.indexOf("/"); return key.charAt(0).toUpperCase() + key.slice(1, at) + " " + key.slice(at + 1); }
  // noted stands in the head; tell is read out by a screen reader, say is both.
  function noted(text) { d.getElementById("kept").textContent = text; }
  function tell(text) { d.getElementById("told").textContent = text; }
  function say(text) { noted(text); tell(text); }
  function today() {
    var t = new Date();
    return t.getFullYear() + "-" + String(t.getMonth() + 1).padStart(2, "0") + "-" + String(t.getDate()).padStart(2, "0");
  }
  // The day of the readings is that of the first key: a night shift does not tear a row in two.
  var day = survey.day || today();

  // ---- whether this is the page that was made: its scripts are known to the browser by their sums, what they read by these
  var sums = { survey: "{{SURVEYSUM}}", engine: "{{ENGINESUM}}" };
  function unchanged(text, sum) {
    if (!self.crypto || !crypto.subtle) { return Promise.resolve(true); } // from a web server without https
    return crypto.subtle.digest("SHA-256", new TextEncoder().encode(text)).then(function (b) {
      return Array.from(new Uint8Array(b)).map(function (x) { return x.toString(16).padStart(2, "0"); }).join("") === sum;
    });
  }
  function refuse() {
    main.textContent = "";
    main.appendChild(el("p", "This file is not the one that flangeway made: it was changed or cut off. It takes no readings. Have it made again.", { "class": "wrong", role: "alert" }));
    d.querySelectorAll("nav button").forEach(function (b) { b.disabled = true; });
    say("refused");
    d.body.setAttribute("data-open", "refused");
  }

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
  function lost() { d.body.setAttribute("data-lost", "yes"); say("NOT KEPT: the device has no room or keeps nothing. Save the sheets before you close this page."); }
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
    if (!failed) { noted("keeping"); }
    t.oncomplete = function () {
      writing = false;
      sent = [];
      if (channel && batch.length) { channel.postMessage("log"); }
      if (waiting.length || typing) { flush(); return; }
      failed = false; // whatever failed before has waited, and is kept now
      if (/^(keeping$|NOT KEPT)/.test(d.getElementById("kept").textContent)) { noted("kept on this device"); }
    };
    t.onabort = function () {
      writing = false;
      failed = true;
      sent = [];
      waiting = batch.concat(waiting);
      typing = typing || ofNow;
      lost();
      setTimeout(flush, 5000);
    };
  }
  function keep(e) { waiting.push(e); flush(); unsure(); }
  function keepNow() { typing = true; flush(); }
  var log = [], channel = null;
  try { channel = new BroadcastChannel("flangeway " + survey.sum); channel.onmessage = function () { restore(true, function () { show(true); }); }; } catch (e) { channel = null; }
  // restore takes what is kept: all of it, or the entries alone when another tab has added some.
  var stored = 0; // how many entries there are, with those of other tabs
  function restore(entriesAlone, done) {
    if (!db) { stored = log.length; return done(); }
    var t = db.transaction(["log", "now"], "readonly"), all = t.objectStore("log").getAll(), at = t.objectStore("now").get("now");
    t.oncomplete = function () {
      log = all.result.concat(sent, waiting);
      stored = log.length;
      log = log.filter(sound);
      entries = plain();
      if (!log.length) { day = today(); }
      log.forEach(function (e) { day = e.day; if (e.key) { set(e.key, e.column, e.text); } });
      changed("");
      if (!entriesAlone && at.result && byKey[at.result.key] && typeof at.result.typed === "string" &&
        at.result.column >= 0 && at.result.column < byKey[at.result.key].columns.length) { now = at.result; }
      if (ready) { take(); }
      done();
    };
    t.onerror = done;
  }
  // sound says that what stands in the log is an entry, since other pages of a device may write there too. An entry
  // without a key sets the day.
  function sound(e) {
    return !!e && typeof e === "object" && typeof e.text === "string" && e.text.length <= 1000 && typeof e.day === "string" &&
      /^\d{4}-\d\d-\d\d$/.test(e.day) && (e.key === "" || typeof e.key === "string" && !!byKey[e.key] && typeof e.column === "string" &&
      byKey[e.key].columns.some(function (c) { return c.name === e.column; }));
  }
  function set(key, column, text) {
    entries[key] = entries[key] || plain();
    if (text === "") { delete entries[key][column]; } else { entries[key][column] = text; }
  }

  // ---- the engine
  function call(name, value) {
    var out = JSON.parse(window[name](JSON.stringify(value)));
    if (out.error) { throw new Error(out.error); }
    return out.result;
  }
  function all() {
    var list = [];
    Object.keys(entries).forEach(function (k) {
      Object.keys(entries[k]).forEach(function (c) { list.push({ key: k, column: c, text: entries[k][c] }); });
    });
    return list;
  }
  function take() {
    answers = plain();
    if (openDay !== day) { call("flangewayOpen", { files: survey.files, day: day }); openDay = day; }
    (call("flangewayTake", all()) || []).forEach(function (e) {
      answers[unit(e.key)] = { wrong: words(e.column) + " " + e.text + " cannot be taken: it is not in what is saved", verdicts: [] };
    });
    prepare();
  }
  // prepare has what the next entry is judged against made while no key is pressed, when the last one is on the screen:
  // in parts, between which keys are taken.
  var preparing = false;
  function prepare() {
    if (preparing) { return; }
    preparing = true;
    requestAnimationFrame(function () { setTimeout(part, 0); });
  }
  function part() {
    preparing = ready && call("flangewayPrepare", now.key || things[0].key);
    if (preparing) { setTimeout(part, 0); }
  }
  // warm has both sides prepared and rehearses some entries of each kind, one by one, because code runs slowly the first
  // times.
  function warm() {
    var kinds = plain(), list = [];
    things.forEach(function (t) {
      if (kinds[t.kind]) { return; }
      t.columns.filter(function (c) { return c.last; }).slice(0, 3).forEach(function (c) {
        kinds[t.kind] = true;
        list.push({ key: t.key, column: c.name, text: c.last });
      });
    });
    var sides = [things[0], things[things.length - 1]].map(function (t) { return t.key; });
    (function some() {
      if (!sides.length && !list.length) { prepare(); return; }
      setTimeout(function () {
        if (!sides.length) { call("flangewayRehearse", list.shift()); } else if (!call("flangewayPrepare", sides[0])) { sides.shift(); }
        some();
      }, 0);
    })();
  }

  // ---- shapes and forces, and what was seen: judged by an engine of its own beside the page, check by check
  var beside = null, computed = plain(), versions = { own: plain(), places: 0, wheels: 0 };
  function unit(key) { return byKey[key].kind === "wheel" ? "car " + byKey[key].location : key; }
  function version(key) { return (versions.own[unit(key)] || 0) + " " + (byKey[key].kind === "wheel" ? versions.places : versions.wheels); }
  // changed says that what was computed of a thing, and of all on the other side, was of other readings; "" of all.
  function changed(key) {
    if (!key) { computed = plain(); return; }
    versions.own[unit(key)] = (versions.own[unit(key)] || 0) + 1;
    versions[byKey[key].kind === "wheel" ? "wheels" : "places"]++;
  }
  function computedOf(key) {
    var c = computed[unit(key)];
    return c && c.version === version(key) ? c : null;
  }
  // It begins when no key was pressed for a second: between two keys nothing is lost, and the battery lasts longer.
  var resting = 0, rests = "";
  function compute(key) {
    rests = key;
    clearTimeout(resting);
    if (beside && key && !computedOf(key)) { resting = setTimeout(function () { ask(key); }, 1000); }
  }
  function ask(key) {
    if (!beside || computedOf(key) || !now.key || key !== left && unit(now.key) !== unit(key)) { return; }
    computed[unit(key)] = { version: version(key), rows: plain(), done: 0, of: 0, failed: "" };
    beside.postMessage({ key: key, unit: unit(key), version: version(key), list: all(), day: day });
  }
  // soon shows what has come, several checks at once: a key that is pressed meanwhile does not wait for each.
  var due = 0;
  function soon() {
    due = due || setTimeout(function () {
      due = 0;
      if (now.key) { below(); } else { show(true); }
    }, 250);
  }
  function startBeside(module) {
    try {
      var source = d.getElementById("exec").textContent + "\n" + d.getElementById("beside").textContent;
      beside = new Worker(URL.createObjectURL(new Blob([source], { type: "text/javascript" })));
    } catch (e) { beside = null; return; }
    beside.onerror = function () { beside = null; computed = plain(); show(true); };
    beside.onmessage = function (m) {
      var c = computed[m.data.unit];
      if (!c || c.version !== m.data.version) { return; }
      c.of = m.data.of;
      c.failed = m.data.failed || c.failed;
      if (m.data.check) { c.done++; c.rows[m.data.check] = m.data.verdicts; }
      if (!now.key || unit(now.key) === m.data.unit || left && unit(left) === m.data.unit) { soon(); }
      d.body.setAttribute("data-computed", m.data.unit + " " + c.done + " of " + c.of);
    };
    beside.postMessage({ module: module, files: survey.files });
  }
  self.flangewayReady = function () {
    ready = true;
    try { take(); } catch (e) { ready = false; say("the readings are kept, and cannot be judged: " + e.message); return; }
    show(true);
    warm();
    d.body.setAttribute("data-judges", "yes");
    performance.mark("judges");
  };
  function start() {
    var text = d.getElementById("engine").textContent;
    unchanged(text, sums.engine).then(function (fine) {
      if (!fine) { refuse(); return; }
      // Seven bits stand in a letter, its eighth says only that another could not stand in a page (package pocket, dense).
      var bytes = new Uint8Array(Math.floor(text.length * 7 / 8)), held = 0, has = 0, n = 0, go = new Go();
      for (var i = 0; i < text.length; i++) {
        held = (held << 7 | text.charCodeAt(i) & 127) & 0x7fff;
        if ((has += 7) >= 8) { bytes[n++] = held >> (has -= 8); }
      }
      return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"))).arrayBuffer().then(function (b) {
        return WebAssembly.compile(b);
      }).then(function (m) {
        return WebAssembly.instantiate(m, go.importObject).then(function (instance) { startBeside(m); go.run(instance); });
      });
    }).catch(function (e) { say("the readings are kept, and not judged here: " + e.message); });
  }
  function judged(e) {
    return answers[unit(e.key)] = Object.assign(call("flangewayEnter", e), { of: e });
  }

  // ---- entering
  function enter(key, column, text) {
    var e = { key: key, column: column, text: text, day: day };
    if (ready) {
      var a = judged(e);
      if (a.wrong) { return false; }
    }
    log.push(e);
    set(key, column, text);
    changed(key);
    keep(e);
    return true;
  }
  function undo() {
    // The last entry that still stands gives way to what stood before it.
    var stands = [];
    log.forEach(function (e) { if (e.undo) { stands.pop(); } else if (e.key) { stands.push(e); } });
    var last = stands.pop();
    if (!last) { say("there is nothing to undo"); return; }
    var before = "";
    stands.forEach(function (e) { if (e.key === last.key && e.column === last.column) { before = e.text; } });
    var e = { key: last.key, column: last.column, text: before, day: day, undo: true };
    if (ready) { judged(e); }
    log.push(e);
    set(e.key, e.column, before);
    changed(e.key);
    keep(e);
    go(e.key, byKey[e.key].columns.findIndex(function (c) { return c.name === e.column; }));
  }

  // ---- screens
  function go(key, column) {
    var a = now.key ? answers[unit(now.key)] : null;
    if (a && a.of) { a.wrong = ""; } // it was of the reading that is left
    now = { key: key, column: column || 0, typed: "" };
    if (!key || left && unit(key) === unit(left)) { left = ""; }
    keepNow();
    show();
    if (ready) { prepare(); }
    var h = main.querySelector("h2");
    if (h) { h.setAttribute("tabindex", "-1"); h.focus(); }
  }
  function worst(key) {
    var list = told(key);
    return list.length ? list[0].verdict : "";
  }
  function list() {
    var at = "", ul = null;
    things.forEach(function (t) {
      if (t.location !== at) {
        main.appendChild(el("h2", t.location));
        ul = main.appendChild(el("ul", undefined, { "class": "places" }));
        at = t.location;
      }
      if (t.mate && mateOf(t) && things.indexOf(byKey[t.mate]) < things.indexOf(t)) { return; }
      var m = mateOf(t), n = Object.keys(entries[t.key] || {}).length + (m ? Object.keys(entries[m.key] || {}).length : 0);
      var text = named(t.key) + (m ? " and " + m.key.slice(m.key.lastIndexOf(" ") + 1) : "") + ": " + (n ? n + " read today" : "not read today");
      if (worst(t.key)) { text += ", " + worst(t.key); }
      if (n && (answers[unit(t.key)] || {}).wrong) { text += ", LOOK AGAIN"; }
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
  // type writes what is typed and leaves the rest of the screen.
  function type(text) {
    var out = main.querySelector(".typed"), side = main.querySelector('[data-key^="side "][aria-pressed="true"]');
    now.typed = text;
    keepNow();
    compute(rests);
    rehearse();
    if (!out || byKey[now.key].columns[now.column].words) { show(true); return; }
    out.textContent = text || "\u00a0";
    if (text.length > 9) { out.scrollLeft = 1e4; } // to its end
    if (side) { side.textContent = sideText(byKey[now.key]); }
  }
  // rehearse judges what is typed when the fingers pause, so that the key that takes it has its answer.
  var pausing = 0;
  function rehearse() {
    clearTimeout(pausing);
    pausing = setTimeout(function () {
      if (!ready || preparing || !now.typed) { return; }
      try { call("flangewayRehearse", { key: now.key, column: byKey[now.key].columns[now.column].name, text: now.typed }); } catch (e) { say(e.message); }
    }, 60);
  }
  // sideText is what stands on the key of a wheel of the axle.
  function sideText(x) {
    var c = x.columns[now.column], has = (entries[x.key] || {})[c.name];
    return x.key.slice(x.key.lastIndexOf(" ") + 1) + ": " + (x.key === now.key && now.typed || has || (c.last ? "last " + c.last : "not read"));
  }
  // L and R of an axle are read together: both under one heading, column by column.
  function mateOf(t) {
    var m = t.mate ? byKey[t.mate] : null;
    return m && m.mate === t.key ? m : null;
  }
  function first(t) { var m = mateOf(t); return m && things.indexOf(m) < things.indexOf(t) ? m : t; }
  function next() {
    var t = byKey[now.key], m = mateOf(t), i = things.indexOf(t);
    if (m && first(t) === t) { go(m.key, now.column); return; }
    if (now.column + 1 < t.columns.length) { go(first(t).key, now.column + 1); return; }
    for (i++; i < things.length && first(things[i]) !== things[i]; i++) { continue; }
    if (i < things.length) { go(things[i].key, 0); } else { go("", 0); }
  }
  function previous() {
    var t = byKey[now.key], m = mateOf(t);
    if (m && first(t) !== t) { go(m.key, now.column); return; }
    if (now.column) { go(m ? m.key : t.key, now.column - 1); }
  }
  function accept(text) {
    if (enter(now.key, byKey[now.key].columns[now.column].name, text)) {
      left = now.key;
      next();
      if (left || now.key) { tell((left ? named(left) + ": " : "") + worstOf(left || now.key)); }
      return;
    }
    show(true);
    main.querySelector(".wrong").scrollIntoView({ block: "nearest" });
  }
  // keys are made once for each kind of reading: what stays on the screen need not be drawn anew.
  var pads = plain();
  function keys(c) {
    var kind = c.unit + " " + c.notches;
    return pads[kind] = pads[kind] || pad(c);
  }
  function pad(c) {
    var box = el("div", undefined, { "class": "keys" });
    function key(text, add, label, name) { box.appendChild(button(text, function () { type(now.typed + add); }, { "aria-label": label || text, "data-key": name || text, "class": name ? "notch" : "" })); }
    "1234567890".split("").forEach(function (n) { key(n, n); });
    if (c.unit === "in") {
      key("-", "-", "and, before a fraction");
      key("/", "/", "over");
    }
    key(".", ".", "point");
    if (c.notches) {
      key(c.notches[0] + " passes", c.notches[0], c.notches[0] + " passes: the notch does not touch", c.notches[0]);
      key(c.notches[1] + " touches", c.notches[1], c.notches[1] + " touches: the notch touches", c.notches[1]);
    } else {
      key("<", "<", "less than");
      key(">=", ">=", "at least");
    }
    box.appendChild(button("\u232b", function () { type(now.typed.slice(0, -1)); }, { "aria-label": "delete the last key", "data-key": "delete" }));
    if (c.unit === "in") {
      [["-1/16", -1], ["+1/16", 1]].forEach(function (x) {
        box.appendChild(button(x[0], function () {
          var s = sixteenths(now.typed || byKey[now.key].columns[now.column].last || "");
          if (s !== null && s + x[1] >= 0) { type(inches(s + x[1])); }
        }, { "aria-label": x[0] + ", a sixteenth " + (x[1] < 0 ? "less" : "more"), "data-key": x[0], "class": "step" }));
      });
      ["1/4", "1/2", "3/4"].forEach(function (f) {
        box.appendChild(button(f, function () { type(/^([<>]=?)?\d+$/.test(now.typed) ? now.typed + "-" + f : (/^[<>]=?/.exec(now.typed) || [""])[0] + f); }, { "data-key": f }));
      });
    }
    return box;
  }
  function choices(c) {
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
  // told are the verdicts of a thing: those by the plain rules, and in their places those that were computed since.
  var ranks = ["conflict", "undecided", "not measured", "clear"];
  function told(key) {
    var a = answers[unit(key)], c = computedOf(key), out = [], rows = c ? c.rows : plain(), had = plain();
    (a ? a.verdicts : []).forEach(function (v) {
      var more = (rows[v.check] || []).find(function (x) { return x.feature === v.feature; });
      had[v.check + " " + v.feature] = true;
      out.push(more ? Object.assign({}, more, { plain: v.verdict }) : v);
    });
    Object.keys(rows).forEach(function (check) {
      rows[check].forEach(function (v) { if (!had[check + " " + v.feature]) { out.push(v); } });
    });
    return out.sort(function (x, y) { return ranks.indexOf(x.verdict) - ranks.indexOf(y.verdict); });
  }
  // A wheel goes to many places: the worst are written at once, because a phone takes its time over a long table.
  var mostRows = 10, whole = "";
  function verdicts(key) {
    var box = el("section", undefined, { "aria-label": "verdicts" }), a = answers[unit(key)], c = computedOf(key), list = told(key);
    if (!ready) { box.appendChild(el("p", "judged as soon as the engine has started")); return box; }
    if (a && (a.missing || []).length) { box.appendChild(el("p", "Still to read: " + a.missing.map(words).join(", "))); }
    if (!list.length) { return box; }
    box.appendChild(el("p", !beside ? "By the plain rules; shapes, forces and what was seen cannot be judged here." : c && c.failed ? "By the plain rules: " + c.failed :
      c && c.of && c.done >= c.of ? "Judged by shapes, forces and what was seen too." : "By the plain rules; shapes, forces and what was seen come as they are judged" + (c && c.of ? ": " + c.done + " of " + c.of + " checks." : "."), { "class": "by" }));
    var t = box.appendChild(el("table")), head = t.appendChild(el("tr"));
    ["what may happen", "verdict", "worst, room left, what settles or mends"].forEach(function (h) { head.appendChild(el("th", h, { scope: "col" })); });
    var most = whole === unit(key) ? list.length : mostRows;
    list.slice(0, most).forEach(function (v) {
      var r = t.appendChild(el("tr", undefined, { "data-check": v.check }));
      r.appendChild(el("th", v.happens + (byKey[key].kind === "wheel" ? " at " + v.feature.replace("/", " ") : ""), { scope: "row" }));
      r.appendChild(el("td", v.verdict + " (" + v.conflict + " conflict, " + v.undecided + " undecided, " + v.not_measured + " not measured, " + v.clear + " clear)", { "class": v.verdict }));
      var more = [v.worst, v.margin].filter(Boolean);
      if (v.by) { more.push("by " + v.by + (v.plain && v.plain !== v.verdict ? ", by the plain rule " + v.plain : "")); }
      more = more.concat(v.says || []);
      if ((v.settle || []).length) { more.push("settle: " + v.settle.map(words).join(", ")); }
      (v.fix || []).forEach(function (f) { more.push("mend: " + words(f)); });
      r.appendChild(el("td", more.join("; ")));
    });
    var more = Math.max(0, list.length - most) + (a && a.more || 0);
    if (more) {
      box.appendChild(button(more + " more that are no worse", function () {
        whole = unit(key);
        answers[whole] = Object.assign(call("flangewayJudge", key), { wrong: a && a.wrong, odd: a && a.odd, of: a && a.of });
        below();
      }, { "data-key": "all verdicts" }));
    }
    if (a && a.away) {
      box.appendChild(el("p", a.away + (a.away === 1 ? " place" : " places") + " where this car does not go " + (a.away === 1 ? "is" : "are") + " left out."));
    }
    return box;
  }
  // left is what the reading before was of, if that was its last: what it came to stands on the next screen.
  var left = "";
  // said stands above the keys: what is wrong or odd, and the worst that the readings come to.
  function said() {
    var box = el("div", undefined, { "class": "said" });
    if (left) { saidOf(box, left, named(left) + ": "); }
    saidOf(box, now.key, "");
    return box;
  }
  function saidOf(box, key, of) {
    var a = answers[unit(key)], v = told(key)[0];
    if (a && a.wrong) { box.appendChild(el("p", words(a.wrong), { "class": "wrong", role: "alert" })); }
    (a && a.odd || []).forEach(function (o) { box.appendChild(el("p", "Look again: " + words(o), { role: "alert" })); });
    if (a && a.odd && a.of) {
      box.appendChild(button("Read it again", function () { go(a.of.key, byKey[a.of.key].columns.findIndex(function (x) { return x.name === a.of.column; })); }, { "data-key": "again" }));
    }
    if (v) {
      box.appendChild(el("p", of + worstOf(key), { "class": v.verdict }));
    }
  }
  // worstOf is the worst that the readings of a thing come to.
  function worstOf(key) {
    var c = computedOf(key), v = told(key)[0];
    if (!v) { return ""; }
    return v.verdict === "clear" ? "clear at all checks" + (c && c.of && c.done >= c.of ? "" : " by the plain rules") :
      v.verdict + ": " + v.happens + (byKey[key].kind === "wheel" ? " at " + v.feature.replace("/", " ") : "");
  }
  // below writes the verdicts anew and leaves the keys as they are.
  function below() {
    if (!now.key) { return; }
    table();
    main.replaceChild(said(), main.querySelector(".said"));
  }
  var tall = 0; // the table's height, so that nothing moves until it is written again
  function table() {
    var old = main.querySelector("section");
    if (!old || !now.key) { return; }
    main.replaceChild(verdicts(now.key), old);
    tall = main.querySelector("section").offsetHeight;
  }
  // one writes the screen of a reading around the keys, where these stand already.
  function one(stays) {
    var t = byKey[now.key], c = t.columns[now.column], mine = (entries[t.key] || {})[c.name], m = mateOf(t), before = stays;
    function add(e) { return main.insertBefore(e, before); }
    add(el("h2", named(t.key) + (t.kind === "wheel" ? "" : " (" + t.location + ")") + ": " + words(c.name), { "data-of": t.key, "data-column": c.name }));
    var begun = ready && things.some(function (x) { return unit(x.key) === unit(t.key) && Object.keys(entries[x.key] || {}).length; });
    if (begun && !answers[unit(t.key)]) {
      try { answers[unit(t.key)] = call("flangewayJudge", t.key); } catch (e) { say(e.message); }
    }
    compute(begun ? t.key : left);
    add(said());
    if (m) {
      var sides = add(el("div", undefined, { "class": "wide", role: "group", "aria-label": "wheels of the axle" }));
      [first(t), mateOf(first(t))].forEach(function (x) {
        sides.appendChild(button(sideText(x), function () {
          if (x !== t && (!now.typed || c.name === "note" || enter(t.key, c.name, now.typed))) { go(x.key, now.column); } else { show(true); }
        }, { "aria-pressed": String(x === t), "data-key": "side " + x.key.slice(x.key.lastIndexOf(" ") + 1) }));
      });
    }
    if (t.trace) { add(el("p", "The traced profile of " + (t.last || "before") + " counts until something is read here today: from then on what was not read today is not measured.")); }
    var line = add(el("div", undefined, { "class": "entry" }));
    line.appendChild(el("p", (c.last ? "last " + c.last + (t.last ? " on " + t.last : "") : "not read before") + (mine ? "; today " + mine : "") +
      " (" + (now.column + 1) + " of " + t.columns.length + ")"));
    if (c.name === "note") {
      var input = add(el("input", undefined, { "aria-label": "note", "data-key": "note", maxlength: "300" }));
      input.value = now.typed;
      input.addEventListener("input", function () { now.typed = input.value; keepNow(); });
    } else {
      line.insertBefore(el("output", (c.words ? now.typed.replace(/_/g, " ") : now.typed) || "\u00a0", { "class": c.words ? "typed chosen" : "typed", "aria-live": "polite" }), line.firstChild);
      if (!stays) { add(c.words ? choices(c) : keys(c)); }
    }
    before = null;
    var box = add(el("div", undefined, { "class": "wide three" }));
    box.appendChild(button("Take it", function () { if (now.typed) { accept(now.typed); } }, { "data-key": "take" }));
    box.appendChild(button("Skip", next, { "data-key": "skip", "aria-keyshortcuts": "ArrowRight" }));
    if (!c.words && c.name !== "note") {
      box.appendChild(button("None there", function () { accept("none"); }, { "data-key": "none" }));
      box.appendChild(button("Cannot reach", function () { accept("n/m"); }, { "data-key": "n/m" }));
    }
    if (c.last) { box.appendChild(button("As before: " + c.last.replace(/-/g, "\u2011"), function () { accept(c.last); }, { "data-key": "before" })); }
    box.appendChild(button("Before this", previous, { "data-key": "previous", "aria-keyshortcuts": "ArrowLeft" }));
    add(el("p", words(c.name) + ": " + c.meaning + (c.unit ? ", " + c.unit : ""), { "class": "small" }));
    add(el("section", undefined, { "aria-label": "verdicts" }));
  }
  function show(same) {
    var focus = same === true && d.activeElement ? d.activeElement.getAttribute("data-key") : null;
    var c = now.key ? byKey[now.key].columns[now.column] : null, stays = c && !c.words && c.name !== "note" ? keys(c) : null;
    if (stays && stays.parentNode !== main) { stays = null; }
    Array.from(main.childNodes).forEach(function (e) { if (e !== stays) { main.removeChild(e); } });
    d.getElementById("back").hidden = !now.key;
    d.body.className = now.key ? "reading" : "";
    d.getElementById("today").textContent = "readings of " + day + (day === today() ? "" : ", and today is " + today() + ": save the sheets and begin a new day");
    if (now.key) {
      one(stays);
      // The worst stands above the keys in the first picture, the table of all in the next: a phone takes its time over it.
      main.lastChild.style.minHeight = tall + "px";
      requestAnimationFrame(function () { setTimeout(table, 0); });
    } else { list(); }
    if (focus) {
      var again = main.querySelector('[data-key="' + CSS.escape(focus) + '"]');
      if (again && again !== d.activeElement) { again.focus(); }
    }
  }
  // written are the files to save: the sheets that were written in or all of them as one workbook, and what says how they
  // are read. A file that lies in a folder of the survey stays there.
  function written(asBook) {
    if (!ready) { say("the engine has not started yet"); return null; }
    var files = call("flangewayFiles", 0), names = Object.keys(files), out = [];
    out.stored = stored;
    if (!names.length) { say("nothing was read yet"); return null; }
    names.forEach(function (name) {
      if (!(asBook && survey.sheets.indexOf(name) >= 0) && name.indexOf("/") < 0) {
        out.push(new File([files[name]], name, { type: /\.csv$/.test(name) ? "text/csv" : "text/plain" }));
      }
    });
    if (asBook) {
      var raw = atob(call("flangewayBook", 0)), bytes = new Uint8Array(raw.length);
      for (var i = 0; i < raw.length; i++) { bytes[i] = raw.charCodeAt(i); }
      out.push(new File([bytes], "readings-" + day + ".xlsx", { type: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet" }));
    }
    return out;
  }
  // asThere calls back with what is on the device, that of other tabs too.
  function asThere(done) { restore(true, function () { show(true); done(); }); }
  function saved(files, how) {
    say(how + " " + files.map(function (f) { return f.name; }).join(", ") + ": put into the survey's folder, or merge with what another phone has saved");
    savedTo = files.stored;
    d.getElementById("anew").hidden = false;
  }
  function save(asBook) {
    var files = written(asBook);
    if (!files) { return; }
    files.forEach(function (f) {
      var a = el("a", undefined, { download: f.name });
      a.href = URL.createObjectURL(f);
      d.body.appendChild(a);
      a.click();
      a.remove();
      setTimeout(function () { URL.revokeObjectURL(a.href); }, 60000);
    });
    saved(files, "saved");
  }
  // Some devices share no workbooks, others no more than one file.
  function share() {
    var files = written(false);
    if (!files) { return; }
    if (!navigator.canShare({ files: files })) { files = written(true); }
    if (!navigator.canShare({ files: files })) { files = Object.assign(files.slice(-1), { stored: files.stored }); }
    if (!navigator.canShare({ files: files })) { say("this device shares no such files: save them"); return; }
    navigator.share({ files: files, title: d.title }).then(function () { saved(files, "shared"); },
      function (e) { say("not shared: " + e.message); });
  }
  // The day is that of the device until somebody says another one: its clock may be wrong.
  function setDay() {
    var box = d.getElementById("dayof"), to = box.value;
    if (!/^\d{4}-\d\d-\d\d$/.test(to)) { say("choose the day of these readings"); box.focus(); return; }
    day = to;
    var e = { key: "", column: "", text: "", day: day };
    log.push(e);
    keep(e);
    changed("");
    d.getElementById("days").hidden = true;
    if (ready) { try { take(); } catch (x) { say(x.message); } }
    show();
  }
  // What was read goes only when all of it was saved, that of other tabs too, and the key is pressed twice.
  var sure = false, savedTo = 0;
  function unsure() {
    var b = d.getElementById("anew");
    sure = false;
    b.textContent = "Begin a new day";
    b.hidden = true;
  }
  function anew() {
    if (!sure) { sure = true; d.getElementById("anew").textContent = "Begin a new day: what was saved goes from this device. Press again"; return; }
    unsure();
    if (!db) { return gone(log.length); }
    var t = db.transaction("log", "readwrite"), n = t.objectStore("log").count();
    n.onsuccess = function () { if (n.result === savedTo) { t.objectStore("log").clear(); } };
    t.oncomplete = function () { gone(n.result); };
    t.onabort = function () { say("the device does not let go of what is kept: close the page and open it again"); };
  }
  function gone(n) {
    if (n !== savedTo || waiting.length || sent.length) { say("something was read since it was saved: save it first"); return; }
    log = []; entries = plain(); answers = plain(); day = today();
    changed("");
    if (ready) { take(); }
    if (channel) { channel.postMessage("log"); }
    go("", 0);
  }
  d.getElementById("anew").addEventListener("click", anew);
  // Back among all places one stands where one was.
  d.getElementById("back").addEventListener("click", function () {
    if (!now.key) { return; }
    var was = first(byKey[now.key]).key;
    go("", 0);
    main.querySelector('[data-key="' + CSS.escape(was) + '"]').focus();
  });
  d.getElementById("undo").addEventListener("click", undo);
  d.getElementById("save").addEventListener("click", function () { asThere(function () { save(false); }); });
  d.getElementById("book").addEventListener("click", function () { asThere(function () { save(true); }); });
  d.getElementById("share").addEventListener("click", function () { asThere(share); });
  d.addEventListener("visibilitychange", function () { if (d.visibilityState === "visible" && db) { asThere(function () {}); } });
  d.getElementById("share").hidden = !(navigator.share && navigator.canShare);
  d.getElementById("day").addEventListener("click", function () {
    var box = d.getElementById("days");
    box.hidden = !box.hidden;
    d.getElementById("dayof").value = day;
    if (!box.hidden) { d.getElementById("dayof").focus(); }
  });
  d.getElementById("setday").addEventListener("click", setDay);
  d.addEventListener("keydown", function (e) {
    if (!now.key || e.ctrlKey || e.metaKey || e.altKey || e.target.tagName === "INPUT") { return; }
    var c = byKey[now.key].columns[now.column];
    if (e.key === "ArrowRight") { next(); e.preventDefault(); }
    if (e.key === "ArrowLeft") { previous(); e.preventDefault(); }
    if (c.words || c.name === "note") { return; }
    if (/^[0-9.\/<>=-]$/.test(e.key)) { type(now.typed + e.key); e.preventDefault(); }
    if (e.key === "Backspace") { type(now.typed.slice(0, -1)); e.preventDefault(); }
    if (e.key === "Enter" && e.target.tagName !== "BUTTON" && now.typed) { accept(now.typed); e.preventDefault(); }
  });
  if (survey.folder && "serviceWorker" in navigator && location.protocol !== "file:") {
    navigator.serviceWorker.register("worker.js").catch(function () { say("this page opens with a signal alone: the device does not keep it"); });
  }
  unchanged(surveyText + d.getElementById("beside").textContent, sums.survey).then(function (fine) {
    if (!fine) { refuse(); return; }
    opened(function (x) {
      db = x;
      if (!db) { lost(); } else { noted("kept on this device"); }
      restore(false, function () {
        show();
        d.body.setAttribute("data-open", "yes");
        performance.mark("open");
        // The engine stands behind this script, and the browser may still be reading it.
        if (d.readyState === "loading") { d.addEventListener("DOMContentLoaded", start); } else { setTimeout(start, 0); }
      });
    });
  });
})();

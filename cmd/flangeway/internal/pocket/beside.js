// Judges by shapes and forces beside the page, one check after the other, and begins anew when something else is wanted.
"use strict";
var job = null, running = null, files = null, opened = "", ready = false;
function call(name, value) {
  var out = JSON.parse(self[name](JSON.stringify(value)));
  if (out.error) { throw new Error(out.error); }
  return out.result;
}
function run() {
  var j = job, checks;
  if (!j || running) { return; }
  running = j;
  try {
    if (opened !== j.day) { call("flangewayOpen", { files: files, day: j.day }); opened = j.day; }
    call("flangewayTake", j.list);
    checks = call("flangewayChecks", j.key) || [];
  } catch (e) { fail(j, e); return; }
  postMessage({ unit: j.unit, version: j.version, of: checks.length });
  step(j, checks, 0);
}
function fail(j, e) {
  running = null;
  postMessage({ unit: j.unit, version: j.version, of: 0, failed: e.message });
}
function step(j, checks, i) {
  if (job !== j || i === checks.length) {
    running = null;
    if (job !== j) { run(); }
    return;
  }
  try {
    var a = call("flangewayComputed", { key: j.key, check: checks[i] });
    postMessage({ unit: j.unit, version: j.version, of: checks.length, check: checks[i], verdicts: a.verdicts });
  } catch (e) { fail(j, e); return; }
  setTimeout(function () { step(j, checks, i + 1); }, 0);
}
self.flangewayReady = function () { ready = true; run(); };
self.onmessage = function (m) {
  if (m.data.module) {
    var go = new Go();
    files = m.data.files;
    WebAssembly.instantiate(m.data.module, go.importObject).then(function (instance) { go.run(instance); });
    return;
  }
  // What runs looks for another job between two checks.
  job = m.data;
  if (ready) { run(); }
};

// Studies and other long work under way: asked about once a second while somebody looks, with short
// requests, so that any number of tabs may. Without this module a link does it.
import { withAsOf } from "./sheet.js";

const part = document.getElementById("job")?.dataset.part ?? "/evidence/jobs";
const own = new URLSearchParams(location.search).get("job");
const states = new Map();

function over(state) {
  return state !== "waiting" && state !== "running";
}

// The sheet is made anew where something has ended: it then says more than this knows.
function take(jobs) {
  for (const job of jobs) {
    const before = states.get(job.job);
    states.set(job.job, job.state);
    if (before && !over(before) && over(job.state) && (!own || own === String(job.job))) return location.replace(location.href);
    const line = document.querySelector("#job-" + job.job);
    if (line && line.textContent !== job.says) line.textContent = job.says;
    if (own !== String(job.job)) continue;
    const says = document.querySelector("#job");
    if (says.textContent !== job.says) says.textContent = job.says;
    const bar = document.querySelector("progress");
    if (bar) bar.value = job.done;
    if (!before && job.state === "done") return location.replace(location.href);
  }
  if (jobs.some((job) => !over(job.state))) setTimeout(ask, 1000);
}

async function ask() {
  if (document.hidden) return document.addEventListener("visibilitychange", ask, { once: true });
  const answer = await fetch(withAsOf(part + (own ? "?job=" + encodeURIComponent(own) : ""))).catch(() => null);
  if (answer?.ok) take((await answer.json()).jobs);
  else setTimeout(ask, 5000);
}

// Whether the bars of an answer are still the same is looked up behind the sheet.
async function check() {
  const answer = await fetch(location.href).catch(() => null);
  const sheet = answer?.ok ? new DOMParser().parseFromString(await answer.text(), "text/html") : null;
  const found = sheet?.querySelector("#next");
  if (found) document.getElementById("checking").replaceWith(document.adoptNode(found));
  else setTimeout(check, 1000);
}

document.querySelector("a.again")?.remove();
if (document.getElementById("checking")) setTimeout(check, 200);
else ask();

"use strict";
const { duration } = document.querySelector("main").dataset;
const video = document.getElementById("recording");
const stop = document.getElementById("stop");
const drawings = [...document.querySelectorAll(".timeline svg")];
const rows = [...document.querySelectorAll("#chapters .go")];
const ranges = rows.map((row) => ({ start: Number(row.dataset.start), end: Number(row.dataset.end) }));

const padded = (number, places) => String(number).padStart(places, "0");
const clock = (ms) => {
  const seconds = Math.floor(ms / 1000);
  const minutes = Math.floor(seconds / 60);
  const rest = `${padded(minutes % 60, 2)}:${padded(seconds % 60, 2)}.${padded(Math.floor(ms % 1000), 3)}`;
  return `${Math.floor(minutes / 60)}:${rest}`;
};
const say = (id, text) => {
  const element = document.getElementById(id);
  if (element.textContent !== text) element.textContent = text;
};

// Times are those of frames, rounded up to the millisecond: half of one more is safely inside the frame.
const go = (ms) => { video.currentTime = (ms + 0.5) / 1000; };

const heads = drawings.map((drawing) => {
  const head = document.createElementNS("http://www.w3.org/2000/svg", "line");
  head.setAttribute("class", "playhead");
  head.setAttribute("y1", "0");
  head.setAttribute("y2", String(drawing.viewBox.baseVal.height - 26));
  drawing.append(head);
  return head;
});

let here = -1;
const show = () => {
  const at = video.currentTime * 1000;
  drawings.forEach((drawing, number) => {
    const { width, gutter } = drawing.dataset;
    const x = String(Number(gutter) + ((width - gutter) * Math.min(at, duration)) / Math.max(duration, 1));
    heads[number].setAttribute("x1", x);
    heads[number].setAttribute("x2", x);
  });
  const inside = ranges.map((range) => range.start <= at && at < range.end);
  const left = here >= 0 && !inside[here];
  here = inside.lastIndexOf(true);
  rows.forEach((row, index) => {
    if (inside[index]) row.setAttribute("aria-current", "true");
    else row.removeAttribute("aria-current");
  });
  say("clock", clock(at));
  say("now", here < 0 ? "" : rows[here].querySelector("bdi").textContent);
  if (left && stop.checked && !video.seeking) video.pause();
};

document.getElementById("before").addEventListener("click", () => {
  // At its start one wants the chapter before, later on the start of this one; while it plays a start soon passes.
  const at = video.currentTime * 1000 - (video.paused ? 1 : 1500);
  const earlier = ranges.filter((range) => range.start < at);
  go(earlier.length ? earlier[earlier.length - 1].start : 0);
});
document.getElementById("after").addEventListener("click", () => {
  const later = ranges.find((range) => range.start > video.currentTime * 1000);
  if (later) go(later.start);
});
document.querySelectorAll(".go").forEach((row) => row.addEventListener("click", () => go(Number(row.dataset.start))));
drawings.forEach((drawing) => drawing.addEventListener("click", (event) => {
  const { width, gutter } = drawing.dataset;
  const box = drawing.getBoundingClientRect();
  const x = ((event.clientX - box.left) / box.width) * width;
  if (x >= gutter) go((duration * (x - gutter)) / (width - gutter));
}));
// Who goes elsewhere has not come to the end of a chapter.
video.addEventListener("seeking", () => { here = -1; });
for (const name of ["timeupdate", "seeked", "loadedmetadata"]) video.addEventListener(name, show);
video.addEventListener("error", () => {
  say("fault", "This browser cannot play the recording. Open the page in another one, or publish it again as WebM.");
});
if ("requestVideoFrameCallback" in video) {
  // Every frame, where the browser tells of it: the clock runs smoothly and a chapter ends on time.
  const each = () => { show(); video.requestVideoFrameCallback(each); };
  video.requestVideoFrameCallback(each);
}
document.getElementById("steer").hidden = rows.length === 0;
show();

"use strict";
const data = JSON.parse(document.getElementById("data").textContent);
const video = document.getElementById("recording");
const now = document.getElementById("now");
const list = document.getElementById("chapters");
const drawing = document.querySelector(".timeline svg");

const two = (number) => String(number).padStart(2, "0");
const clock = (ms) => {
  const seconds = Math.floor(ms / 1000);
  const rest = `${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
  return `${Math.floor(seconds / 3600)}:${rest}`;
};

// Times are those of frames, rounded up to the millisecond: half of one more is safely inside the frame.
const go = (ms) => { video.currentTime = (ms + 0.5) / 1000; };

const buttons = data.chapters.map((chapter) => {
  const row = document.createElement("li");
  const button = document.createElement("button");
  const when = document.createElement("span");
  const title = document.createElement("bdi");
  button.type = "button";
  when.className = "when";
  when.textContent = clock(chapter.start);
  title.textContent = chapter.title;
  button.append(when, title);
  button.addEventListener("click", () => go(chapter.start));
  row.append(button);
  list.append(row);
  return button;
});

const head = document.createElementNS("http://www.w3.org/2000/svg", "line");
head.setAttribute("class", "playhead");
head.setAttribute("y1", "0");
head.setAttribute("y2", String(drawing.viewBox.baseVal.height));
drawing.append(head);

const show = () => {
  const at = video.currentTime * 1000;
  const x = String(data.gutter + ((data.width - data.gutter) * Math.min(at, data.duration)) / data.duration);
  head.setAttribute("x1", x);
  head.setAttribute("x2", x);
  let title = "no chapter";
  data.chapters.forEach((chapter, index) => {
    const here = chapter.start <= at && at < chapter.end;
    if (here) {
      buttons[index].setAttribute("aria-current", "true");
      title = chapter.title;
    } else {
      buttons[index].removeAttribute("aria-current");
    }
  });
  const says = `${clock(at)}, ${title}`;
  if (now.textContent !== says) now.textContent = says;
};

drawing.addEventListener("click", (event) => {
  const box = drawing.getBoundingClientRect();
  const x = ((event.clientX - box.left) / box.width) * data.width;
  if (x >= data.gutter) go((data.duration * (x - data.gutter)) / (data.width - data.gutter));
});
video.addEventListener("timeupdate", show);
video.addEventListener("seeked", show);
video.addEventListener("error", () => {
  now.textContent = "This browser cannot play the recording. Make the folder again as WebM, or open it in another browser.";
});

/* A press on a picture of the photos page shows where a hole is; its box in the list takes it back. */
"use strict";
document.addEventListener("click", (event) => {
  const picture = event.target.closest("#looked img.photo");
  if (!picture) return;
  const box = picture.getBoundingClientRect();
  const x = (event.clientX - box.left) / box.width;
  const y = (event.clientY - box.top) / box.height;
  const photo = Number(picture.dataset.photo);
  const mark = document.createElement("span");
  mark.className = "pressed";
  mark.style.left = `${100 * x}%`;
  mark.style.top = `${100 * y}%`;
  picture.parentElement.append(mark);
  const tick = document.createElement("input");
  Object.assign(tick, { type: "checkbox", name: "added", checked: true });
  tick.value = `${photo} ${x.toFixed(5)} ${y.toFixed(5)}`;
  tick.addEventListener("change", () => { mark.hidden = !tick.checked; });
  const label = document.createElement("label");
  label.append(tick, ` photo ${photo + 1}, ${Math.round(100 * x)} % across, ${Math.round(100 * y)} % down`);
  const list = document.getElementById("added");
  list.append(label);
  list.hidden = false;
});

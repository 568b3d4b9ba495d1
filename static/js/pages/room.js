// Where the board is wider than the screen, what would move is brought into sight.

const frame = document.querySelector(".room-frame");
const ghosts = frame.querySelector("#ghosts")?.getBoundingClientRect();
if (ghosts?.width) {
  const shown = frame.getBoundingClientRect();
  frame.scrollLeft += ghosts.left + ghosts.width / 2 - shown.left - shown.width / 2;
}

document.documentElement.dataset.ready = "yes";

// Where the board is wider than the screen, what would move is brought into sight.

const ghosts = document.querySelector(".room-frame #ghosts");
if (ghosts?.firstElementChild) ghosts.scrollIntoView({ inline: "center", block: "nearest" });

document.documentElement.dataset.ready = "yes";

// Keys without Ctrl can be pressed by a slip, or by a voice that is heard as letters: they can be switched off.

/** Whether they are on. */
export const singleKeys = () => localStorage.getItem("single-keys") !== "off";

document.addEventListener("beforetoggle", (event) => {
  const box = event.target.querySelector?.("#single-keys");
  if (box) box.checked = singleKeys();
}, { capture: true });
document.addEventListener("change", (event) => {
  if (event.target.id === "single-keys") localStorage.setItem("single-keys", event.target.checked ? "on" : "off");
});

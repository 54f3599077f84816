// Finds what a person would call it: a role and a name, as a screen reader
// says them. Arguments: role, name. Gives the element, or null.
const [role, name] = arguments;
const ROLES = {
  button: "button, summary, [role=button], input[type=button], input[type=submit]",
  link: "a[href], [role=link]",
  textbox: "textarea, input:not([type]), input[type=text], input[type=search], [role=textbox]",
  checkbox: "input[type=checkbox], [role=checkbox], [role=switch]",
  radio: "input[type=radio], [role=radio]",
  option: "option, [role=option]",
  combobox: "select, [role=combobox]",
  heading: "h1, h2, h3, h4, [role=heading]",
  tab: "[role=tab]",
  dialog: "dialog[open], [role=dialog], [role=alertdialog]",
  region: "section[aria-label], section[aria-labelledby], [role=region]",
  img: "img, svg[role=img], [role=img]",
  any: "*",
};
const tidy = (text) => (text ?? "").replace(/\s+/g, " ").trim();
const nameOf = (element) => {
  const byIds = (element.getAttribute("aria-labelledby") ?? "").split(/\s+/).filter(Boolean);
  const labelled = tidy(byIds.map((id) => document.getElementById(id)?.textContent).join(" "));
  const labels = tidy([...(element.labels ?? [])].map((label) => label.textContent).join(" "));
  return (
    labelled ||
    tidy(element.getAttribute("aria-label")) ||
    labels ||
    tidy(element.getAttribute("alt")) ||
    tidy(element.innerText ?? element.textContent) ||
    tidy(element.getAttribute("value")) ||
    tidy(element.getAttribute("title")) ||
    tidy(element.getAttribute("placeholder"))
  );
};
const shown = (element) => {
  const box = element.getBoundingClientRect();
  // An input hidden behind its label is still there for a screen reader.
  const lent = element.labels?.length > 0;
  return (lent || (box.width > 0 && box.height > 0)) && getComputedStyle(element).visibility !== "hidden";
};
const open = document.querySelector("dialog:modal") ?? document;
const fitting = [...open.querySelectorAll(ROLES[role] ?? `[role=${role}]`)].filter(shown);
const exact = fitting.find((element) => nameOf(element) === name);
// The innermost one, should a name only be part of it.
const part = fitting.filter((element) => nameOf(element).includes(name));
return exact ?? part.at(-1) ?? null;

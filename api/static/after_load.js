// Every page can be read and used without a script, so none waits for one: it comes once the page stands.
const { then } = document.currentScript.dataset;
addEventListener("load", () => setTimeout(() => import(then)), { once: true });

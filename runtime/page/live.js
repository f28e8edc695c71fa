"use strict";
(() => {
const root = document.documentElement, main = document.querySelector("main");

// parse makes an element of a piece's text.
function parse(html) {
	const t = document.createElement("template");
	t.innerHTML = html;
	return t.content.firstElementChild;
}

// kind is what an element is at all, whatever its state.
const kind = e => e.id || (e.getAttribute("class") || "").split(" ")[0];

// like tells whether one node may become another: what the reader has opened or
// is in stays where it is.
const like = (a, b) => a.nodeType === b.nodeType && a.nodeName === b.nodeName && (a.nodeType !== 1 || kind(a) === kind(b));

// turn makes node a what node b is, changing no more than differs.
function turn(a, b) {
	if (a.nodeType !== 1) {
		if (a.data !== b.data) a.data = b.data;
		return;
	}
	if (a.isEqualNode(b)) return;
	for (const {name, value} of b.attributes) if (a.getAttribute(name) !== value) a.setAttribute(name, value);
	for (const {name} of [...a.attributes]) if (name !== "open" && !b.hasAttribute(name)) a.removeAttribute(name);
	let x = a.firstChild;
	for (let y = b.firstChild, next; y; y = next) {
		next = y.nextSibling;
		if (x && !like(x, y)) {
			// Something was put in, or something is gone.
			let z = x.nextSibling;
			while (z && !like(z, y)) z = z.nextSibling;
			let later = next;
			while (later && !like(x, later)) later = later.nextSibling;
			if (z && !later) while (x !== z) { const gone = x; x = x.nextSibling; gone.remove(); }
		}
		if (x && like(x, y)) {
			turn(x, y);
			x = x.nextSibling;
		} else {
			a.insertBefore(y, x);
		}
	}
	while (x) { const gone = x; x = x.nextSibling; gone.remove(); }
	// What a control shows is not its attribute once it was touched.
	if (a !== document.activeElement) {
		if (a.nodeName === "INPUT" && a.value !== b.value) a.value = b.value;
		if (a.nodeName === "SELECT" && a.value !== b.value) a.value = b.value;
	}
}

// show puts what changed in place. What the reader looks at stays under their eyes.
function show(m) {
	const focus = document.activeElement, home = focus && focus.closest("main > *");
	// From the section at the top of the screen to the innermost part of it there.
	const seen = [];
	for (let at = main; at; at = [...at.children].find(e => e.getBoundingClientRect().bottom > 0)) seen.unshift([at, at.getBoundingClientRect().top]);

	document.title = m.title;
	for (const id of ["_bar", "top", "_end"]) if (m.html[id]) turn(document.getElementById(id), parse(m.html[id]));
	const keep = new Set(m.order);
	for (const e of [...main.children]) if (!keep.has(e.id)) e.remove();
	let at = main.firstElementChild;
	for (const id of m.order) {
		let e = document.getElementById(id);
		if (!e || e.parentNode !== main) e = main.insertBefore(parse(m.html[id]), at);
		else {
			if (m.html[id]) turn(e, parse(m.html[id]));
			if (e !== at) main.insertBefore(e, at);
		}
		at = e.nextElementSibling;
	}
	root.dataset.phase = m.phase;
	root.dataset.run = m.run;

	const [stays, top] = seen.find(([e]) => e.isConnected);
	if (scrollY > 0) scrollBy({top: stays.getBoundingClientRect().top - top, behavior: "instant"});
	if (focus && focus !== document.body && !focus.isConnected && home && home.isConnected) {
		home.tabIndex = -1;
		home.focus({preventScroll: true});
	}
}

const events = new EventSource("events");
events.onmessage = e => show(JSON.parse(e.data));
events.onerror = () => {
	const status = document.querySelector("#_bar p");
	status.textContent = "lapwright does not answer: this page shows what there was, and follows the recipe no more.";
	root.dataset.phase = "failed";
};

document.addEventListener("submit", e => {
	e.preventDefault();
	const form = e.target;
	fetch(form.getAttribute("action"), {method: "POST", body: new URLSearchParams(new FormData(form, e.submitter)), redirect: "manual"});
	if (e.submitter && e.submitter.name === "recipe") form.reset(); // what was typed is no more to be kept
});
document.addEventListener("change", e => {
	const form = e.target.closest("#_inputs form");
	if (form && form.reportValidity()) form.requestSubmit();
});
})();

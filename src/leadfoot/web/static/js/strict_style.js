// Lets the chart library draw under a policy that forbids style attributes.
// It writes them with setAttribute, as if they stood in the page; set as properties they are allowed.
const asWritten = Element.prototype.setAttribute;

SVGElement.prototype.setAttribute = function setAttribute(name, value) {
  if (name === "style") this.style.cssText = value;
  else asWritten.call(this, name, value);
};

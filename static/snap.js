// A photo that was taken goes off at once: its form has nothing else to be filled in.

for (const field of document.querySelectorAll("[data-snap]")) {
  field.addEventListener("change", () => {
    if (field.files.length) field.form.requestSubmit();
  });
}

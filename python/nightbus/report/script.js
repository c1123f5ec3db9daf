// Filters the schedule as one types, and unfolds the findings before printing. The page needs neither.
(() => {
  const field = document.getElementById("find-run");
  if (field) {
    field.addEventListener("input", () => {
      const wanted = field.value.trim().toLowerCase();
      let shown = 0;
      for (const row of document.querySelectorAll("#schedule tbody tr")) {
        const hit = row.textContent.toLowerCase().includes(wanted);
        row.classList.toggle("hidden", !hit);
        shown += hit ? 1 : 0;
      }
      document.getElementById("found").textContent = wanted ? shown + " found" : "";
    });
  }
  addEventListener("beforeprint", () => {
    // Notices and what holds fill forty sheets and are of little use on them.
    const serious = "#findings details.danger, #findings details.warning";
    for (const one of document.querySelectorAll(serious)) one.open = true;
  });
  // A link to a finding also unfolds it.
  addEventListener("hashchange", open);
  function open() {
    const target = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    for (let one = target; one; one = one.parentElement) {
      if (one.tagName === "DETAILS") one.open = true;
    }
  }
  open();
})();

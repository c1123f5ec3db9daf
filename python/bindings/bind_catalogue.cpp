#include "nightbus/catalogue.hpp"

#include "bindings.hpp"

namespace py = pybind11;

namespace nightbus::python {
namespace {

void bind_evidence(py::module_& module) {
  py::class_<Pedigree, std::shared_ptr<Pedigree>>(module, "Pedigree",
                                                  "What a table is, and what it is not good for.")
      .NB_READ(Pedigree, id)
      .NB_READ(Pedigree, owner)
      .NB_READ(Pedigree, holds)
      .NB_READ(Pedigree, purpose)
      .NB_READ(Pedigree, standard)
      .NB_READ(Pedigree, edition)
      .NB_READ(Pedigree, table)
      .NB_READ(Pedigree, source)
      .NB_READ(Pedigree, fallback)
      .NB_READ(Pedigree, limits)
      .NB_READ(Pedigree, date)
      .def_property_readonly(
          "confidence",
          [](const Pedigree& pedigree) {
            return std::string(confidence_words(pedigree.confidence));
          },
          "How sure we are, in words.")
      .NB_READ(Pedigree, columns)
      .NB_READ(Pedigree, units)
      .NB_READ(Pedigree, built_in)
      .def("cite", &Pedigree::cite, "\"NFPA 70 (2023) Table 310.16\".")
      .def("__repr__",
           [](const Pedigree& pedigree) { return "<Pedigree " + pedigree.cite() + ">"; });

  py::class_<TableText>(module, "Table", "A table as it was written, with its pedigree.")
      .def_property_readonly("pedigree", [](const TableText& table) { return *table.pedigree; })
      .NB_READ(TableText, rows)
      .def("__repr__", [](const TableText& table) { return "<Table " + table.pedigree->id + ">"; });

  py::class_<Citation>(module, "Citation", "One row of one table.")
      .NB_READ(Citation, row)
      .NB_READ(Citation, note)
      .def_property_readonly(
          "confidence",
          [](const Citation& from) { return std::string(confidence_words(from.confidence)); })
      .def_property_readonly("pedigree", [](const Citation& from) { return *from.pedigree; })
      .def("__str__", &Citation::text)
      .def("__repr__", [](const Citation& from) { return "<Citation " + from.text() + ">"; });

  py::class_<TableValue>(module, "TableValue", "A number and where it comes from.")
      .NB_READ(TableValue, value)
      .def_readonly("source", &TableValue::from)
      .def("__repr__", [](const TableValue& value) {
        return py::str("<TableValue {}: {}>").format(value.value, value.from.text());
      });
}

void bind_rules(py::module_& module) {
  py::native_enum<Installation>(module, "Installation", "enum.Enum",
                                "How a conductor loses its heat, coolest first.")
      .value("free_air", Installation::free_air)
      .value("tray", Installation::tray)
      .value("clipped", Installation::clipped)
      .value("conduit", Installation::conduit)
      .value("insulation", Installation::insulation)
      .finalize();

  py::class_<Ampacity>(module, "Ampacity", "Amperes of a table, before corrections.")
      .NB_READ(Ampacity, value)
      .NB_READ(Ampacity, column_c)
      .NB_READ(Ampacity, base_ambient_c)
      .NB_READ(Ampacity, installation)
      .NB_READ(Ampacity, caution)
      .def_readonly("source", &Ampacity::from)
      .def("__repr__", [](const Ampacity& ampacity) {
        return py::str("<Ampacity {} A: {}>").format(ampacity.value, ampacity.from.text());
      });

  py::class_<RuleSet>(module, "RuleSet",
                      "A published body of ampacity, correction, drop and protection rules.")
      .def_property_readonly("name", &RuleSet::name)
      .def_property_readonly("purpose", &RuleSet::purpose)
      .def_property_readonly("limits", &RuleSet::limits, "What it does not cover; not a permit.")
      .def_property_readonly("aliases", &RuleSet::aliases)
      .def_property_readonly("tables",
                             [](const RuleSet& rules) {
                               std::vector<Pedigree> tables;
                               for (const auto& table : rules.tables()) tables.push_back(*table);
                               return tables;
                             })
      .def(
          "ampacity",
          [](const RuleSet& rules, const ConductorSize& size, double insulation_c,
             Installation installation) {
            return rules.ampacity(size, insulation_c, installation);
          },
          py::arg("size"), py::arg("insulation_c"), py::arg("installation") = Installation::conduit,
          "Amperes before corrections; None where the rules are silent.")
      .def(
          "listed_sizes",
          [](const RuleSet& rules, const std::string& material) {
            return rules.listed_sizes(material);
          },
          py::arg("material") = "copper", "All sizes a table lists, thinnest first.")
      .def("ambient_factor", &RuleSet::ambient_factor, py::arg("ambient_c"), py::arg("column_c"),
           py::arg("cold_credit") = false, "Correction for the air; 0 at the column's limit.")
      .def(
          "grouping_factor",
          [](const RuleSet& rules, int conductors, double bus_voltage_v) {
            Bundle bundle;
            bundle.conductors = conductors;
            bundle.bus_voltage_v = bus_voltage_v;
            return rules.grouping_factor(bundle);
          },
          py::arg("conductors"), py::arg("bus_voltage_v") = 12.0,
          "Correction for current-carrying conductors that lie together.")
      .def_property_readonly("standard_ratings_a", &RuleSet::standard_ratings_a)
      .def("next_standard_rating", &RuleSet::next_standard_rating, py::arg("current_a"),
           "The next rating of the rules' own list.")
      .def("__repr__", [](const RuleSet& rules) { return "<RuleSet " + rules.name() + ">"; });
}

void bind_stock(py::module_& module) {
  py::class_<Conductor>(module, "Conductor", "One size as it is made.")
      .NB_READ(Conductor, size)
      .NB_READ(Conductor, area_mm2)
      .NB_READ(Conductor, resistance_ohm_per_m)
      .NB_READ(Conductor, mass_kg_per_m)
      .NB_READ(Conductor, strands)
      .NB_READ(Conductor, material)
      .def_readonly("source", &Conductor::from)
      .def("__repr__", [](const Conductor& conductor) {
        return "<Conductor " + print_size(conductor.size) + ">";
      });

  py::class_<ConductorFamily>(module, "ConductorFamily", "One way of naming and making conductors.")
      .NB_READ(ConductorFamily, name)
      .NB_READ(ConductorFamily, system)
      .NB_READ(ConductorFamily, material)
      .NB_READ(ConductorFamily, construction)
      .NB_READ(ConductorFamily, usual)
      .NB_READ(ConductorFamily, conductors)
      .def("__repr__",
           [](const ConductorFamily& family) { return "<ConductorFamily " + family.name + ">"; });

  py::class_<InterruptRating>(module, "InterruptRating", "Breaks so much DC at that voltage.")
      .NB_READ(InterruptRating, voltage_v)
      .NB_READ(InterruptRating, current_a)
      .def_readonly("source", &InterruptRating::from);

  py::class_<OpeningPoint>(module, "OpeningPoint", "Opening time at a share of the rating.")
      .NB_READ(OpeningPoint, ratio)
      .NB_READ(OpeningPoint, least_s)
      .NB_READ(OpeningPoint, most_s);

  py::class_<OvercurrentForm>(module, "OvercurrentForm", "One form of fuse or breaker.")
      .NB_READ(OvercurrentForm, name)
      .NB_READ(OvercurrentForm, letter)
      .NB_READ(OvercurrentForm, purpose)
      .def_property_readonly("kind",
                             [](const OvercurrentForm& form) {
                               return form.kind == DeviceKind::fuse ? "fuse" : "breaker";
                             })
      .NB_READ(OvercurrentForm, fits)
      .NB_READ(OvercurrentForm, ratings_a)
      .NB_READ(OvercurrentForm, interrupts)
      .def(
          "opening_of",
          [](const OvercurrentForm& form, double rating_a) {
            const OpeningBand* band = form.opening_of(rating_a);
            return band ? band->points : std::vector<OpeningPoint>{};
          },
          py::arg("rating_a"), "Its time-current band; empty when none is published.")
      .def(
          "interrupt_at",
          [](const OvercurrentForm& form, double highest_bus_v) -> std::optional<InterruptRating> {
            const InterruptRating* rating = form.interrupt_at(highest_bus_v);
            return rating ? std::optional(*rating) : std::nullopt;
          },
          py::arg("highest_bus_v"), "What it can break on a bus of that highest voltage.")
      .def("__repr__",
           [](const OvercurrentForm& form) { return "<OvercurrentForm " + form.name + ">"; });

  py::class_<BatteryChemistry>(module, "BatteryChemistry", "A battery chemistry.")
      .NB_READ(BatteryChemistry, name)
      .NB_READ(BatteryChemistry, aliases)
      .NB_READ(BatteryChemistry, purpose)
      .NB_READ(BatteryChemistry, nominal_cell_v)
      .NB_READ(BatteryChemistry, cells_per_12v)
      .def("__repr__", [](const BatteryChemistry& chemistry) {
        return "<BatteryChemistry " + chemistry.name + ">";
      });
}

}  // namespace

void bind_catalogue(py::module_& module) {
  bind_evidence(module);
  bind_rules(module);
  bind_stock(module);

  py::class_<Catalogue>(module, "Catalogue",
                        "Standards as data: every table, each value with its pedigree.")
      .def(py::init([] { return Catalogue::builtin(); }), "The built-in tables.")
      .def("with_tables", &Catalogue::with, py::arg("toml_text"), py::arg("name") = "tables.toml",
           "This catalogue and the tables of a text in the same format.")
      .def_property_readonly("tables", &Catalogue::tables)
      .def(
          "table",
          [](const Catalogue& catalogue, const std::string& id) { return catalogue.table(id); },
          py::arg("id"))
      .def_property_readonly("rule_sets", &Catalogue::rule_sets)
      .def(
          "rule_set",
          [](const Catalogue& catalogue, const std::string& name) {
            return catalogue.rule_set(name);
          },
          py::arg("name"))
      .def_property_readonly("conductor_families", &Catalogue::conductor_families)
      .def(
          "conductor",
          [](const Catalogue& catalogue, const ConductorSize& size, const std::string& family) {
            return catalogue.conductor(size, family);
          },
          py::arg("size"), py::arg("family") = "")
      .def_property_readonly("overcurrent_forms", &Catalogue::overcurrent_forms)
      .def(
          "overcurrent_form",
          [](const Catalogue& catalogue, const std::string& name) {
            return catalogue.overcurrent_form(name);
          },
          py::arg("name"))
      .def_property_readonly("chemistries", &Catalogue::chemistries)
      .def(
          "chemistry",
          [](const Catalogue& catalogue, const std::string& name) {
            return catalogue.chemistry(name);
          },
          py::arg("name"))
      .def("__repr__", [](const Catalogue& catalogue) {
        return py::str("<Catalogue: {} tables>").format(catalogue.tables().size());
      });
}

}  // namespace nightbus::python

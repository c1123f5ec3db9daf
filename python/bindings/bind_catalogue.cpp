#include "nightbus/catalogue.hpp"

#include "bindings.hpp"
#include "given.hpp"
#include "values.hpp"

namespace py = pybind11;

namespace nightbus::python {
namespace {

/// Name and text of each file of tables.
using Texts = std::vector<std::pair<std::string, std::string>>;

/// The files that were added to the built-in ones, in their order: a catalogue is made of these.
Texts own_tables(const Catalogue& catalogue) {
  Texts texts;
  for (const TableText& table : catalogue.tables()) {
    const auto& source = table.pedigree->where.source;
    if (table.pedigree->built_in || !source) continue;
    if (texts.empty() || texts.back() != std::pair(source->name(), source->text())) {
      texts.emplace_back(source->name(), source->text());
    }
  }
  return texts;
}
Catalogue with_tables(const Texts& texts) {
  Catalogue catalogue = Catalogue::builtin();
  for (const auto& [name, text] : texts) catalogue = catalogue.with(text, name);
  return catalogue;
}

/// A rule set, and the catalogue that it is found in again.
struct OwnedRules : RuleSet {
  Catalogue catalogue;
};
OwnedRules owned(const Catalogue& catalogue, const std::string& name) {
  return {catalogue.rule_set(name), catalogue};
}

void bind_evidence(py::module_& module) {
  Value<Pedigree, std::shared_ptr<Pedigree>>(
      module, "Pedigree",
      told("What a table is, and what it is not good for.",
           R"(>>> nb.catalogue().table("NEC/terminals").pedigree.confidence
'seen in a copy of the document named')")
          .c_str())
      .NB_READ(Pedigree, id, "Unique, such as \"33 CFR 183/allowable amperage\".")
      .NB_READ(Pedigree, owner, "Rule set, form or family that it belongs to.")
      .NB_READ(Pedigree, holds,
               "What the program does with it: \"ampacity\", \"ambient\", \"ratings\" …")
      .NB_READ(Pedigree, purpose, "What it is for, in words.")
      .NB_READ(Pedigree, standard, "\"33 CFR 183.425\", or \"common practice, no source\".")
      .NB_READ(Pedigree, edition, "Year or issue; may be empty.")
      .NB_READ(Pedigree, table, "\"Table 5\"; may be empty.")
      .NB_READ(Pedigree, source, "How the numbers came here.")
      .NB_READ(Pedigree, fallback, "What is done where the table is silent.")
      .NB_READ(Pedigree, limits, "What it must not be taken for.")
      .NB_READ(Pedigree, date, "When they were typed, ISO 8601.")
      .def_property_readonly(
          "confidence",
          [](const Pedigree& pedigree) {
            return std::string(confidence_words(pedigree.confidence));
          },
          "How sure we are, in words.")
      .NB_READ(Pedigree, columns, "Headings.")
      .NB_READ(Pedigree, units, "One for each column; empty for words.")
      .NB_READ(Pedigree, built_in, "False for a table of your own.")
      .def("cite", &Pedigree::cite,
           told("Standard, edition and table in one line.",
                R"(>>> nb.catalogue().table("NEC/terminals").pedigree.cite()
'NFPA 70 (2023) 110.14(C)(1)')")
               .c_str())
      .def("__repr__",
           [](const Pedigree& pedigree) { return "<Pedigree " + pedigree.cite() + ">"; });

  Value<TableText>(module, "Table",
                   told("A table as it was written, with its pedigree.",
                        R"(>>> nb.catalogue().table("NEC/terminals").rows
[['100', '60'], ['-', '75']])")
                       .c_str())
      .def_property_readonly(
          "pedigree", [](const TableText& table) { return *table.pedigree; },
          "What it is and where it comes from.")
      .NB_READ(TableText, rows, "As written: one tuple of texts and numbers for each row.")
      .def("__repr__", [](const TableText& table) { return "<Table " + table.pedigree->id + ">"; });

  Value<Citation>(
      module, "Citation",
      told(
          "One row of one table.",
          R"(>>> amperes = nb.catalogue().rule_set("NEC").ampacity(nb.ConductorSize("12 AWG"), 90.0)
>>> print(amperes.source)
NFPA 70 (2023) Table 310.16, 12 AWG)")
          .c_str())
      .NB_READ(Citation, row, "\"12 AWG\"; may be empty.")
      .NB_READ(Citation, note,
               "How the row was chosen when it is not the plain match; its own remark.")
      .def_property_readonly(
          "confidence",
          [](const Citation& from) { return std::string(confidence_words(from.confidence)); },
          "How sure we are, in words.")
      .def_property_readonly(
          "pedigree", [](const Citation& from) { return *from.pedigree; }, "Of the table.")
      .def("__str__", &Citation::text)
      .def("__repr__", [](const Citation& from) { return "<Citation " + from.text() + ">"; });

  Value<TableValue>(module, "TableValue",
                    told("A number and where it comes from.",
                         R"(>>> nb.catalogue().rule_set("NEC").next_standard_rating(22.0)
<TableValue 25.0: NFPA 70 (2023) 240.6(A), 25 A>)")
                        .c_str())
      .NB_READ(TableValue, value, "In the inside unit of the table.")
      .def_readonly("source", &TableValue::from, "The row it was read from.")
      .def("__repr__", [](const TableValue& value) {
        return py::str("<TableValue {}: {}>").format(value.value, value.from.text());
      });
}

void bind_rules(py::module_& module) {
  py::native_enum<Installation>(module, "Installation", "enum.Enum",
                                told("How a conductor loses its heat, coolest first.",
                                     R"(>>> rules = nb.catalogue().rule_set("NEC")
>>> rules.ampacity(nb.ConductorSize("12 AWG"), 90.0).installation.name
'conduit')")
                                    .c_str())
      .value("free_air", Installation::free_air)
      .value("tray", Installation::tray)
      .value("clipped", Installation::clipped)
      .value("conduit", Installation::conduit)
      .value("insulation", Installation::insulation)
      .finalize();

  Value<Ampacity>(
      module, "Ampacity",
      told(
          "Amperes of a table, before corrections.",
          R"(>>> amperes = nb.catalogue().rule_set("NEC").ampacity(nb.ConductorSize("12 AWG"), 90.0)
>>> amperes.value, amperes.installation.name
(30.0, 'conduit'))")
          .c_str())
      .NB_READ(Ampacity, value, "Before corrections. [A]")
      .NB_READ(Ampacity, column_c, "Insulation column that was read; correct with this one. [°C]")
      .NB_READ(Ampacity, base_ambient_c, "Air that the table stands for. [°C]")
      .NB_READ(Ampacity, installation, "What the table stands for.")
      .NB_READ(Ampacity, caution,
               "Where the rules allow it but it is known to be generous; may be empty.")
      .def_readonly("source", &Ampacity::from, "The row it was read from.")
      .def("__repr__", [](const Ampacity& ampacity) {
        return py::str("<Ampacity {} A: {}>").format(ampacity.value, ampacity.from.text());
      });

  py::class_<OwnedRules>(
      module, "RuleSet",
      told("A published body of ampacity, correction, drop and protection rules.",
           R"(>>> rules = nb.catalogue().rule_set("NEC")
>>> rules.aliases, rules.standard_ratings_a[:3]
(['NFPA 70'], [10.0, 15.0, 20.0]))")
          .c_str())
      .def_property_readonly("name", &RuleSet::name, "As a system file names it.")
      .def_property_readonly("purpose", &RuleSet::purpose, "What it was written for.")
      .def_property_readonly("limits", &RuleSet::limits, "What it does not cover; not a permit.")
      .def_property_readonly("aliases", &RuleSet::aliases, "Other spellings that are read.")
      .def_property_readonly(
          "tables",
          [](const OwnedRules& rules) {
            std::vector<Pedigree> tables;
            for (const auto& table : rules.tables()) tables.push_back(*table);
            return tables;
          },
          "Pedigrees of the tables that it is made of.")
      .def(
          "ampacity",
          [](const OwnedRules& rules, const ConductorSize& size,
             Given<Dimension::temperature> insulation_c, Installation installation) {
            return rules.ampacity(size, insulation_c.value, installation);
          },
          py::arg("size"), py::arg("insulation_c"), py::arg("installation") = Installation::conduit,
          told("Amperes before corrections; None where the rules are silent.",
               R"(>>> rules = nb.catalogue().rule_set("NEC")
>>> rules.ampacity(nb.ConductorSize("12 AWG"), insulation_c=90.0).value
30.0)")
              .c_str())
      .def(
          "listed_sizes",
          [](const OwnedRules& rules, const std::string& material) {
            return rules.listed_sizes(material);
          },
          py::arg("material") = "copper",
          told("All sizes a table lists, thinnest first.",
               R"(>>> rules = nb.catalogue().rule_set("NEC")
>>> [str(size) for size in rules.listed_sizes("copper")[:2]]
['18 AWG', '16 AWG'])")
              .c_str())
      .def(
          "ambient_factor",
          [](const OwnedRules& rules, Given<Dimension::temperature> ambient_c,
             Given<Dimension::temperature> column_c, bool cold_credit) {
            return rules.ambient_factor(ambient_c.value, column_c.value, cold_credit);
          },
          py::arg("ambient_c"), py::arg("column_c"), py::arg("cold_credit") = false,
          told("Correction for the air; 0 at the column's limit.",
               R"(>>> rules = nb.catalogue().rule_set("NEC")
>>> rules.ambient_factor(ambient_c=50.0, column_c=75.0).value
0.75)")
              .c_str())
      .def(
          "grouping_factor",
          [](const OwnedRules& rules, int conductors, Given<Dimension::voltage> bus_voltage_v) {
            Bundle bundle;
            bundle.conductors = conductors;
            bundle.bus_voltage_v = bus_voltage_v.value;
            return rules.grouping_factor(bundle);
          },
          py::arg("conductors"), py::arg("bus_voltage_v") = Given<Dimension::voltage>{12.0},
          told("Correction for current-carrying conductors that lie together.",
               R"(>>> rules = nb.catalogue().rule_set("NEC")
>>> rules.grouping_factor(conductors=6).value
0.8)")
              .c_str())
      .def_property_readonly("standard_ratings_a", &RuleSet::standard_ratings_a,
                             "Ratings of devices that it lists, ascending. [A]")
      .def(
          "next_standard_rating",
          [](const OwnedRules& rules, Given<Dimension::current> current_a) {
            return rules.next_standard_rating(current_a.value);
          },
          py::arg("current_a"),
          told("The next rating of the rules' own list.",
               R"(>>> rules = nb.catalogue().rule_set("NEC")
>>> rules.next_standard_rating(22.0).value
25.0)")
              .c_str())
      .def("__repr__", [](const OwnedRules& rules) { return "<RuleSet " + rules.name() + ">"; })
      .def(
          "__eq__",
          [](const OwnedRules& one, const OwnedRules& other) {
            return one.name() == other.name() &&
                   own_tables(one.catalogue) == own_tables(other.catalogue);
          },
          py::is_operator())
      .def("__hash__",
           [](const OwnedRules& rules) { return std::hash<std::string>{}(rules.name()); })
      .def("__copy__", [](const OwnedRules& rules) { return OwnedRules(rules); })
      .def(py::pickle(
          [](const OwnedRules& rules) -> py::tuple {
            return py::make_tuple(rules.catalogue, rules.name());
          },
          [](const py::tuple& state) {
            return owned(state[0].cast<const Catalogue&>(), state[1].cast<std::string>());
          }));
}

void bind_stock(py::module_& module) {
  Value<Conductor>(module, "Conductor",
                   told("One size as it is made.",
                        R"(>>> wire = nb.catalogue().conductor(nb.ConductorSize("2.5 mm2"))
>>> wire.material, wire.resistance_ohm_per_m
('copper', 0.00798))")
                       .c_str())
      .NB_READ(Conductor, size, "Its label.")
      .NB_READ(Conductor, area_mm2, "Of metal; for metric sizes the nominal label. [mm²]")
      .NB_READ(Conductor, resistance_ohm_per_m,
               "One conductor, direct current, 20 °C; a maximum where the standard sets one. [Ω/m]")
      .NB_READ(Conductor, mass_kg_per_m, "Of metal. [kg/m]")
      .NB_READ(Conductor, strands, "0: not stated.")
      .NB_READ(Conductor, material, "\"copper\", \"aluminium\" …")
      .def_readonly("source", &Conductor::from, "The row it was read from.")
      .def("__repr__", [](const Conductor& conductor) {
        return "<Conductor " + print_size(conductor.size) + ">";
      });

  Value<ConductorFamily>(
      module, "ConductorFamily",
      told("One way of naming and making conductors.",
           R"(>>> families = {one.name: one for one in nb.catalogue().conductor_families}
>>> families["AWG"].material, families["AWG"].usual
('copper', True))")
          .c_str())
      .NB_READ(ConductorFamily, name, "\"AWG\", \"IEC 60228\" …")
      .NB_READ(ConductorFamily, system, "How its sizes are labelled.")
      .NB_READ(ConductorFamily, material, "\"copper\", \"aluminium\" …")
      .NB_READ(ConductorFamily, construction, "\"stranded\", \"class 5, plain\" …")
      .NB_READ(ConductorFamily, usual, "Taken for a size of its system when no family is named.")
      .NB_READ(ConductorFamily, conductors, "Thinnest first.")
      .def("__repr__",
           [](const ConductorFamily& family) { return "<ConductorFamily " + family.name + ">"; });

  Value<InterruptRating>(
      module, "InterruptRating",
      told("Breaks so much DC at that voltage.",
           R"(>>> nb.catalogue().overcurrent_form("mini blade").interrupt_at(14.6).current_a
1000.0)")
          .c_str())
      .NB_READ(InterruptRating, voltage_v, "Largest direct voltage it holds for. [V]")
      .NB_READ(InterruptRating, current_a, "Largest current it can break. [A]")
      .def_readonly("source", &InterruptRating::from, "The row it was read from.");

  Value<OpeningPoint>(
      module, "OpeningPoint",
      told("Opening time at a share of the rating.",
           R"(>>> band = nb.catalogue().overcurrent_form("mini blade").opening_of(10.0)
>>> band[0].ratio < band[1].ratio
True)")
          .c_str())
      .NB_READ(OpeningPoint, ratio, "Current over rating.")
      .NB_READ(OpeningPoint, least_s, "Carries at least so long. [s]")
      .NB_READ(OpeningPoint, most_s, "Has opened by then; None: not told. [s]");

  Value<OvercurrentForm>(module, "OvercurrentForm",
                         told("One form of fuse or breaker.",
                              R"(>>> form = nb.catalogue().overcurrent_form("mini blade")
>>> form.kind, form.ratings_a[:3]
('fuse', [2.0, 3.0, 4.0]))")
                             .c_str())
      .NB_READ(OvercurrentForm, name, "As a system file names it.")
      .NB_READ(OvercurrentForm, letter, "\"F\", \"C\", \"SF 30\" …; may be empty.")
      .NB_READ(OvercurrentForm, purpose, "What it is for, in words.")
      .def_property_readonly(
          "kind",
          [](const OvercurrentForm& form) {
            return form.kind == DeviceKind::fuse ? "fuse" : "breaker";
          },
          "\"fuse\" or \"breaker\".")
      .NB_READ(OvercurrentForm, fits, "What it mounts on.")
      .NB_READ(OvercurrentForm, ratings_a, "Ascending. [A]")
      .NB_READ(OvercurrentForm, interrupts, "Ascending voltage.")
      .def(
          "opening_of",
          [](const OvercurrentForm& form, Given<Dimension::current> rating_a) {
            const OpeningBand* band = form.opening_of(rating_a.value);
            return band ? band->points : std::vector<OpeningPoint>{};
          },
          py::arg("rating_a"),
          told("Its time-current band at a rating; empty when none is published.",
               R"(>>> form = nb.catalogue().overcurrent_form("mini blade")
>>> [point.ratio for point in form.opening_of(10.0)][:2]
[1.1, 1.35])")
              .c_str())
      .def(
          "interrupt_at",
          [](const OvercurrentForm& form,
             Given<Dimension::voltage> highest_bus_v) -> std::optional<InterruptRating> {
            const InterruptRating* rating = form.interrupt_at(highest_bus_v.value);
            return rating ? std::optional(*rating) : std::nullopt;
          },
          py::arg("highest_bus_v"),
          told("What it can break on a bus of that highest voltage; None: not on such a bus.",
               R"(>>> form = nb.catalogue().overcurrent_form("mini blade")
>>> form.interrupt_at(14.6).current_a, form.interrupt_at(58.4)
(1000.0, None))")
              .c_str())
      .def("__repr__",
           [](const OvercurrentForm& form) { return "<OvercurrentForm " + form.name + ">"; });

  Value<BatteryChemistry>(
      module, "BatteryChemistry",
      told("A battery chemistry.", R"(>>> nb.catalogue().chemistry("LFP").nominal_cell_v
3.2)")
          .c_str())
      .NB_READ(BatteryChemistry, name, "\"LFP\", \"flooded\", \"AGM\", \"gel\".")
      .NB_READ(BatteryChemistry, aliases, "Other spellings that are read.")
      .NB_READ(BatteryChemistry, purpose, "What it stands for.")
      .NB_READ(BatteryChemistry, nominal_cell_v, "Of one cell. [V]")
      .NB_READ(BatteryChemistry, cells_per_12v, "In series, for a 12 V bank.")
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
                        told("Standards as data: every table, each value with its pedigree.",
                             R"(>>> [one.name for one in nb.catalogue().chemistries]
['AGM', 'flooded', 'gel', 'LFP'])")
                            .c_str())
      .def(py::init([] { return Catalogue::builtin(); }), "The built-in tables.")
      .def("with_tables", &Catalogue::with, py::arg("toml_text"), py::arg("name") = "tables.toml",
           told("This catalogue and the tables of a text in the same format.\n\nRaises InputError "
                "with every problem of the text.",
                R"(>>> nb.Catalogue().with_tables("[[table]]", "mine.toml")
Traceback (most recent call last):
    ...
nightbus._core.InputError: ...)")
               .c_str())
      .def_property_readonly("tables", &Catalogue::tables, "Every table as it was written.")
      .def(
          "table",
          [](const Catalogue& catalogue, const std::string& id) { return catalogue.table(id); },
          py::arg("id"),
          told("One table by its id. Raises LookupError with near misses.",
               R"(>>> nb.catalogue().table("Heat/fans").pedigree.owner
'Heat')")
              .c_str())
      .def_property_readonly(
          "rule_sets",
          [](const Catalogue& catalogue) {
            std::vector<OwnedRules> all;
            for (const RuleSet& rules : catalogue.rule_sets()) all.push_back({rules, catalogue});
            return all;
          },
          "Every rule set.")
      .def(
          "rule_set",
          [](const Catalogue& catalogue, const std::string& name) {
            return owned(catalogue, name);
          },
          py::arg("name"),
          told("One rule set by its name or another spelling. Raises LookupError with near misses.",
               R"(>>> nb.catalogue().rule_set("NECC")
Traceback (most recent call last):
    ...
nightbus._core.LookupError: no rule set is named "NECC"; did you mean: NEC)")
              .c_str())
      .def_property_readonly("conductor_families", &Catalogue::conductor_families,
                             "Every family of conductors.")
      .def(
          "conductor",
          [](const Catalogue& catalogue, const ConductorSize& size, const std::string& family) {
            return catalogue.conductor(size, family);
          },
          py::arg("size"), py::arg("family") = "",
          told("One conductor of a family; the usual family of its system when none is named. "
               "Raises LookupError with near misses.",
               R"(>>> round(nb.catalogue().conductor(nb.ConductorSize("12 AWG")).area_mm2, 2)
3.31)")
              .c_str())
      .def_property_readonly("overcurrent_forms", &Catalogue::overcurrent_forms,
                             "Every form of fuse and breaker.")
      .def(
          "overcurrent_form",
          [](const Catalogue& catalogue, const std::string& name) {
            return catalogue.overcurrent_form(name);
          },
          py::arg("name"),
          told("One form of fuse or breaker by its name. Raises LookupError with near misses.",
               R"(>>> nb.catalogue().overcurrent_form("class T").kind
'fuse')")
              .c_str())
      .def_property_readonly("chemistries", &Catalogue::chemistries, "Every battery chemistry.")
      .def(
          "chemistry",
          [](const Catalogue& catalogue, const std::string& name) {
            return catalogue.chemistry(name);
          },
          py::arg("name"),
          told(
              "One chemistry by its name or another spelling. Raises LookupError with near misses.",
              R"(>>> nb.catalogue().chemistry("LiFePO4")
<BatteryChemistry LFP>)")
              .c_str())
      .def(
          "__eq__",
          [](const Catalogue& one, const Catalogue& other) {
            return own_tables(one) == own_tables(other);
          },
          py::is_operator())
      .def("__hash__",
           [](const Catalogue& catalogue) {
             return std::hash<std::string>{}(bytes_of(own_tables(catalogue)));
           })
      .def("__copy__", [](const Catalogue& catalogue) { return Catalogue(catalogue); })
      .def(py::pickle([](const Catalogue& catalogue)
                          -> py::tuple { return py::make_tuple(own_tables(catalogue)); },
                      [](const py::tuple& state) { return with_tables(state[0].cast<Texts>()); }))
      .def("__repr__", [](const Catalogue& catalogue) {
        return py::str("<Catalogue: {} tables>").format(catalogue.tables().size());
      });
}

}  // namespace nightbus::python

#include "system/choices.hpp"
#include "system/tables.hpp"

namespace nightbus::system_detail {

RecordType bus_type() {
  auto type = many<Bus>(
      "bus", "Bus", "A point where circuits join: a bus bar, a fuse block, a distribution block.",
      &System::buses,
      {
          NB_ROW(Bus, "name", name, "Name used by runs.").need(),
          NB_ROW(Bus, "note", note, "Anything worth keeping with it."),
          NB_ROW(Bus, "rated", rated_a, "Current it may carry.")
              .in(Dimension::current)
              .above(0)
              .to(10000),
          NB_ROW(Bus, "ways", ways, "Places for circuits.").from(1).to(200),
          NB_ROW(Bus, "compartment", compartment, "Where it sits.").refers("compartment"),
      });
  type.is_point = true;
  type.feedable = true;
  return type;
}

RecordType run_type() {
  return many<Run>(
      "run", "Run", "One cable between two points, out and back.", &System::runs,
      {
          NB_ROW(Run, "name", name, "Name on its labels.").need(),
          NB_ROW(Run, "note", note, "Anything worth keeping with it."),
          NB_ROW(Run, "from", from, "Point on the source side.").refers("point").need(),
          NB_ROW(Run, "to", to, "Point on the load side.").refers("point").need(),
          NB_ROW(Run, "length", length_m, "One way, along the cable.")
              .in(Dimension::length)
              .need()
              .above(0)
              .to(10000),
          NB_ROW(Run, "size", size, "Conductor size: given, it is checked and not chosen."),
          NB_ROW(Run, "family", family, "Conductor family, when not that of the rules.")
              .refers("conductor family"),
          NB_ROW(Run, "material", material, "Conductor material of the catalogue.")
              .refers("material")
              .assume(),
          NB_ROW(Run, "insulation", insulation_c, "Insulation class, when not that of the rules.")
              .in(Dimension::temperature)
              .from(60)
              .to(250),
          NB_ROW(Run, "enclosed", enclosed, "In conduit, loom or duct, when not as the rules say."),
          NB_ROW(Run, "bundle", bundle,
                 "Current-carrying conductors that run together, its own two included.")
              .assume()
              .from(1)
              .to(500),
          NB_ROW(Run, "parallel", parallel, "Equal conductors in parallel per pole.")
              .from(1)
              .to(12),
          NB_ROW(Run, "ambient", ambient_c,
                 "Hottest air along it; else its compartment's, else the site's hot.")
              .in(Dimension::temperature)
              .from(-60)
              .to(150),
          NB_ROW(Run, "compartment", compartment, "Where most of it lies.").refers("compartment"),
          NB_ROW(Run, "return", return_path, "How the current comes back.").assume(),
          NB_ROW(Run, "return_to", return_to, "Point whose negative takes it, when not `from`.")
              .refers("point"),
          NB_ROW(Run, "return_length", return_length_m, "One way, when not as long as the run.")
              .in(Dimension::length)
              .above(0)
              .to(10000),
          NB_ROW(Run, "return_size", return_size, "Size of the return, when not as the run."),
          NB_ROW(Run, "return_resistance", return_resistance_ohm, "Of the whole chassis path.")
              .in(Dimension::resistance)
              .from(0)
              .to(10),
          NB_ROW(Run, "joints", joints, "Joints per pole, both ends counted.")
              .assume()
              .from(0)
              .to(50),
          NB_ROW(Run, "joint_resistance", joint_ohm, "Of each joint.")
              .in(Dimension::resistance, "mΩ")
              .assume()
              .from(0)
              .to(1),
          NB_ROW(Run, "sheathed", sheathed,
                 "In a sheath or enclosure from the source to its overcurrent device."),
          NB_ROW(Run, "overcurrent", overcurrent, "It has, or needs, a device at its source end."),
          NB_ROW(Run, "fuse_form", fuse_form,
                 "Overcurrent form: given, it is checked and not chosen.")
              .refers("overcurrent form"),
          NB_ROW(Run, "fuse", fuse_a, "Rating: given, it is checked and not chosen.")
              .in(Dimension::current)
              .above(0)
              .to(10000),
          NB_ROW(Run, "fuse_distance", fuse_distance_m,
                 "Along the conductor, from source to device.")
              .in(Dimension::length)
              .assume()
              .from(0)
              .to(100),
          NB_ROW(Run, "fuse_ambient", fuse_ambient_c,
                 "Air at the device, when not that of its source.")
              .in(Dimension::temperature)
              .from(-60)
              .to(150),
          NB_ROW(Run, "holder", holder_a, "Current that the fuse holder may carry.")
              .in(Dimension::current)
              .above(0)
              .to(10000),
          NB_ROW(Run, "switch", switch_a, "DC current that its switch may carry.")
              .in(Dimension::current)
              .above(0)
              .to(10000),
          NB_ROW(Run, "switch_voltage", switch_v, "DC voltage that its switch may break.")
              .in(Dimension::voltage)
              .above(0)
              .to(1500),
          NB_ROW(Run, "switch_resistance", switch_ohm, "Of its switch.")
              .in(Dimension::resistance, "mΩ")
              .from(0)
              .to(1),
          NB_ROW(Run, "spare", spare,
                 "Laid but not connected: sized and counted, carries nothing."),
      });
}

}  // namespace nightbus::system_detail

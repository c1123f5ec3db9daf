#pragma once
/// How a document becomes a System: the head, then every kind of record in the order of the field
/// table, then the feeds that stand inside records.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "nightbus/fields.hpp"
#include "nightbus/source_toml.hpp"
#include "nightbus/system.hpp"
#include "reader/damage.hpp"

namespace nightbus::reader_detail {

class Builder {
 public:
  Builder(const toml::Document& document, System& system, std::vector<Problem>& problems)
      : document_(document), system_(system), problems_(problems) {}

  void build(Damage& damage);

 private:
  using Value = toml::Value;

  /// A field that was lost, by record: addresses are only final when every record is in its list.
  struct Loss {
    const RecordType* type;
    std::size_t index;
    std::string key;
  };
  struct Feed {
    const RecordType* type;
    std::size_t index;
    const toml::Entry* entry;
  };

  // The head (build.cpp)
  static void note_structure(Damage& damage, const Loss& loss);
  const toml::Entry* root_entry(std::string_view key) const;
  void read_head();
  void read_head_text(std::string_view key, std::string& target);
  void check_known(const toml::Entry& entry);
  static std::string misplaced_key(const std::string& key);
  void report(std::string code, std::string what, Span where, std::string expected = {},
              std::string mend = {});

  Span top_of_file() const { return {document_.root.where.source, 1, 1, 1, 1}; }

  // Records (build_records.cpp)
  void read_type(const RecordType& type);
  void missing_table(const RecordType& type, const std::string& heading);
  std::size_t append(const RecordType& type);
  void read_record(const RecordType& type, const Value& table);
  void read_field(const RecordType& type, std::size_t index, const std::string& label,
                  const toml::Entry& entry, const RecordType& owner);
  void unknown_field(const RecordType& type, const std::string& label, const toml::Entry& entry,
                     const RecordType& owner);
  void missing_fields(const RecordType& type, std::size_t index, const Span& where,
                      const Value* table);
  static bool misspelt(const RecordType& type, const Value& table, const Field& field);
  static bool holds(const Value* table, const std::string& key);
  static std::string example_of(const Field& field);

  // Feeds (build_feeds.cpp)
  void read_feed(const Feed& feed);
  void set_ends(const Feed& feed, std::size_t index, const std::string& own_name,
                const std::string& label);

  const toml::Document& document_;
  System& system_;
  std::vector<Problem>& problems_;
  std::vector<Loss> losses_;
  std::vector<Feed> feeds_;
};

}  // namespace nightbus::reader_detail

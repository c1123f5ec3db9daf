#pragma once
/// Plain data as bytes and back, member by member, for pickles and for equality. The bytes are for
/// the same build of nightbus: `shape_of` says whether they are.

#include <array>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <variant>
#include <vector>

#include "members.hpp"
#include "nightbus/catalogue.hpp"
#include "nightbus/network_system.hpp"
#include "nightbus/source.hpp"

namespace nightbus::python {

/// What has a base cannot be taken apart, so its own members stand here.
template <class Conditions>
requires std::is_same_v<std::remove_const_t<Conditions>, CaseConditions>
constexpr auto all_members_of(Conditions& value) {
  static_assert(member_count<CaseConditions> == 4);
  using Base = std::conditional_t<std::is_const_v<Conditions>, const CaseAir, CaseAir>;
  return std::tie(static_cast<Base&>(value), value.by_case, value.load_factor, value.wiring_margin);
}
template <class T>
constexpr auto all_members_of(T& value) {
  return members_of(value);
}

template <class T>
concept Number = std::is_arithmetic_v<T> || std::is_enum_v<T>;

// What a type is made of, as far as the two directions below tell it apart.
template <class T>
struct Parts;  // of containers: `kind`, a letter, and `Held`, the types inside
template <class... Held>
struct Inside {};
template <class T>
struct Parts<std::vector<T>> {
  static constexpr char kind = 'v';
  using Held = Inside<T>;
};
template <class T, std::size_t N>
struct Parts<std::array<T, N>> {
  static constexpr char kind = 'a';
  using Held = Inside<T>;
};
template <class T>
struct Parts<std::optional<T>> {
  static constexpr char kind = 'o';
  using Held = Inside<T>;
};
template <class A, class B>
struct Parts<std::pair<A, B>> {
  static constexpr char kind = 'p';
  using Held = Inside<A, B>;
};
template <class K, class V, class... More>
struct Parts<std::map<K, V, More...>> {
  static constexpr char kind = 'm';
  using Held = Inside<K, V>;
};
template <class... T>
struct Parts<std::variant<T...>> {
  static constexpr char kind = 'u';
  using Held = Inside<T...>;
};
template <class T>
concept Container = requires {
  Parts<T>::kind;
};

/// Texts and pedigrees are held by many things at once: each is written once.
class Writer {
 public:
  template <class T>
  void put(const T& value) {
    if constexpr (std::is_floating_point_v<T>) {
      raw(value + T{0});  // −0 is 0
    } else if constexpr (Number<T>) {
      raw(value);
    } else if constexpr (std::is_same_v<T, std::string>) {
      raw(value.size());
      bytes_.append(value);
    } else if constexpr (std::is_same_v<T, std::shared_ptr<const SourceText>>) {
      put_shared(value, sources_, [this](const SourceText& text) {
        put(text.name());
        put(text.text());
      });
    } else if constexpr (std::is_same_v<T, PedigreeRef>) {
      put_shared(value, pedigrees_, [this](const Pedigree& pedigree) { put_members(pedigree); });
    } else if constexpr (Container<T>) {
      put_container(value);
    } else {
      put_members(value);
    }
  }
  std::string take() { return std::move(bytes_); }

 private:
  template <class T>
  void raw(const T& value) {
    const auto* first = reinterpret_cast<const char*>(&value);
    bytes_.append(first, sizeof value);
  }
  template <class T>
  [[gnu::noinline]] void put_members(const T& value) {
    std::apply([this](const auto&... member) { (this->put(member), ...); }, all_members_of(value));
  }
  template <class T>
  void put_container(const T& value) {
    constexpr char kind = Parts<T>::kind;
    if constexpr (kind == 'o') {
      raw(value.has_value());
      if (value) put(*value);
    } else if constexpr (kind == 'p') {
      put(value.first);
      put(value.second);
    } else if constexpr (kind == 'u') {
      raw(value.index());
      std::visit([this](const auto& held) { this->put(held); }, value);
    } else {
      if constexpr (kind != 'a') raw(value.size());
      for (const auto& each : value) put(static_cast<const typename T::value_type&>(each));
    }
  }
  template <class T, class Put>
  void put_shared(const std::shared_ptr<const T>& value, std::map<std::string, std::size_t>& known,
                  const Put& put_it) {
    if (!value) return raw(std::size_t{0});
    std::string outside;
    std::swap(outside, bytes_);
    put_it(*value);
    std::swap(outside, bytes_);
    const auto [at, is_new] = known.emplace(std::move(outside), known.size() + 1);
    raw(at->second);
    if (is_new) bytes_.append(at->first);
  }

  std::string bytes_;
  std::map<std::string, std::size_t> sources_, pedigrees_;  // by what they hold, counted from 1
};

class Reader {
 public:
  explicit Reader(std::string_view bytes) : rest_(bytes) {}
  template <class T>
  void get(T& value) {
    if constexpr (Number<T>) {
      const std::string_view from = next(sizeof value);
      from.copy(reinterpret_cast<char*>(&value), sizeof value);
    } else if constexpr (std::is_same_v<T, std::string>) {
      value = next(get_size());
    } else if constexpr (std::is_same_v<T, std::shared_ptr<const SourceText>>) {
      get_shared(value, sources_, [this] {
        std::string name, text;
        get(name);
        get(text);
        return std::make_shared<const SourceText>(std::move(name), std::move(text));
      });
    } else if constexpr (std::is_same_v<T, PedigreeRef>) {
      get_shared(value, pedigrees_, [this] {
        auto pedigree = std::make_shared<Pedigree>();
        get_members(*pedigree);
        return pedigree;
      });
    } else if constexpr (Container<T>) {
      get_container(value);
    } else {
      get_members(value);
    }
  }
  bool at_end() const { return rest_.empty(); }

 private:
  std::string_view next(std::size_t size) {
    if (size > rest_.size()) throw Error("the pickle ends too early");
    const std::string_view taken = rest_.substr(0, size);
    rest_.remove_prefix(size);
    return taken;
  }
  std::size_t get_size() {
    std::size_t size = 0;
    get(size);
    return size;
  }
  template <class T>
  [[gnu::noinline]] void get_members(T& value) {
    std::apply([this](auto&... member) { (this->get(member), ...); }, all_members_of(value));
  }
  template <std::size_t Index = 0, class T>
  void get_alternative(T& value, std::size_t index) {
    if constexpr (Index < std::variant_size_v<T>) {
      if (index != Index) return get_alternative<Index + 1>(value, index);
      get(value.template emplace<Index>());
    } else {
      throw Error("the pickle holds what no such object can");
    }
  }
  template <class T>
  void get_container(T& value) {
    constexpr char kind = Parts<T>::kind;
    if constexpr (kind == 'o') {
      bool there = false;
      get(there);
      value.reset();
      if (there) get(value.emplace());
    } else if constexpr (kind == 'p') {
      get(value.first);
      get(value.second);
    } else if constexpr (kind == 'u') {
      get_alternative(value, get_size());
    } else if constexpr (kind == 'a') {
      for (auto& each : value) get(each);
    } else {
      value.clear();
      for (std::size_t left = get_size(); left > 0; --left) {
        if constexpr (kind == 'm') {
          std::pair<typename T::key_type, typename T::mapped_type> each;
          get(each);
          value.insert(std::move(each));
        } else if constexpr (std::is_same_v<T, std::vector<bool>>) {
          bool each = false;
          get(each);
          value.push_back(each);
        } else {
          get(value.emplace_back());
        }
      }
    }
  }
  template <class T, class Get>
  void get_shared(std::shared_ptr<const T>& value, std::vector<std::shared_ptr<const T>>& known,
                  const Get& get_it) {
    const std::size_t at = get_size();
    if (at == known.size() + 1) known.push_back(get_it());
    if (at > known.size()) throw Error("the pickle holds what no such object can");
    value = at == 0 ? nullptr : known[at - 1];
  }

  std::string_view rest_;
  std::vector<std::shared_ptr<const SourceText>> sources_;
  std::vector<PedigreeRef> pedigrees_;
};

/// The build-up of a type in letters: builds with the same letters read each other's bytes.
template <class T>
std::string shape_of() {
  const auto all = []<class... Held>(Inside<Held...>) { return (shape_of<Held>() + ... + ""); };
  if constexpr (std::is_floating_point_v<T>) {
    return "f" + std::to_string(sizeof(T));
  } else if constexpr (Number<T>) {
    return "i" + std::to_string(sizeof(T));
  } else if constexpr (std::is_same_v<T, std::string>) {
    return "s";
  } else if constexpr (std::is_same_v<T, std::shared_ptr<const SourceText>>) {
    return "t";
  } else if constexpr (std::is_same_v<T, PedigreeRef>) {
    return "e";
  } else if constexpr (Container<T>) {
    return std::string(1, Parts<T>::kind) + "<" + all(typename Parts<T>::Held{}) + ">";
  } else {
    return []<class... Member>(std::tuple<Member&...>*) {
      return "(" + (shape_of<Member>() + ... + "") + ")";
    }(static_cast<decltype(all_members_of(std::declval<T&>()))*>(nullptr));
  }
}

template <class T>
std::string bytes_of(const T& value) {
  Writer writer;
  writer.put(value);
  return writer.take();
}

template <class T>
T from_bytes(std::string_view bytes) {
  T value{};
  Reader reader(bytes);
  reader.get(value);
  if (!reader.at_end()) throw Error("the pickle holds more than such an object can");
  return value;
}

}  // namespace nightbus::python

// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/schema.h"

#include <algorithm>

#include "model/job_fields.h"
#include "model/part_fields.h"

namespace latchwright::report {

namespace {

using model::FieldInfo;
using model::FieldKind;
using model::Raw;

const char* const id_pattern = "^[A-Za-z0-9._-]+$";
/// A text in which base::find_misleading finds nothing.
std::string text_pattern(bool many_lines) {
  const std::string unseen =
      R"(\u007f-\u009f\u00ad\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u2064\u2066-\u206f\ufeff\ufff9-\ufffb)";
  return (many_lines ? R"(^[^\u0000-\u0008\u000b\u000c\u000e-\u001f)" : R"(^[^\u0000-\u001f)") + unseen +
         "]*$";
}

Raw::List to_list(const std::vector<std::string>& words) { return Raw::List(words.begin(), words.end()); }

Raw whole_number(std::size_t number) { return Raw(static_cast<double>(number)); }

Raw reference_to(const std::string& name) { return Raw(Raw::Object{{"$ref", "#/$defs/" + name}}); }

/// Writes records as definitions, each once, and refers to them.
class Definitions {
 public:
  Raw record(const model::RecordInfo& info) {
    if (define(info.name)) set(info.name, record_rules({&info}, info.name, std::nullopt));
    return reference_to(info.name);
  }

  /// Any part: the common keys and those of its kind.
  Raw part() {
    if (!define("part")) return reference_to("part");
    Raw::List by_kind;
    for (const auto& kind : model::part_kinds()) {
      const std::string name = "part_" + kind;
      define(name);
      set(name, record_rules({&model::part_table().info(), model::part_body_info(kind)}, name, kind));
      by_kind.push_back(Raw(Raw::Object{{"if", Raw(Raw::Object{{"required", Raw(Raw::List{"kind"})},
                                                               {"properties", only("kind", kind)}})},
                                        {"then", reference_to(name)}}));
    }
    set("part", {{"type", "object"},
                 {"required", Raw(Raw::List{"kind"})},
                 {"properties",
                  Raw(Raw::Object{{"kind", Raw(Raw::Object{{"enum", Raw(to_list(model::part_kinds()))}})}})},
                 {"allOf", Raw(std::move(by_kind))}});
    return reference_to("part");
  }

  /// The keywords of an object with these rows. `kind`: the one value that the key `kind` may have.
  Raw::Object record_rules(const std::vector<const model::RecordInfo*>& infos, const std::string& name,
                           const std::optional<std::string>& kind, const Raw::Object& first = {}) {
    Raw::Object properties = first;
    Raw::List required;
    for (const auto& [key, rules] : first) required.emplace_back(key);
    for (const auto* info : infos) {
      for (const auto& field : info->fields) {
        Raw::Object rules = value_rules(field);
        if (kind && field.key == "kind") rules = {{"const", *kind}, {"description", field.meaning}};
        properties.emplace_back(field.key, Raw(std::move(rules)));
        if (field.required) required.emplace_back(field.key);
      }
    }
    Raw::Object object{{"type", "object"}, {"properties", Raw(std::move(properties))}};
    if (!required.empty()) object.emplace_back("required", Raw(std::move(required)));
    object.emplace_back("additionalProperties", Raw(false));
    add_further_rules(name, object);
    return object;
  }

  Raw take() { return Raw(std::move(definitions_)); }

 private:
  static Raw only(const std::string& key, const std::string& word) {
    return Raw(Raw::Object{{key, Raw(Raw::Object{{"const", word}})}});
  }

  /// False where the name is taken already.
  bool define(const std::string& name) {
    for (const auto& [known, rules] : definitions_) {
      if (known == name) return false;
    }
    definitions_.emplace_back(name, Raw());
    return true;
  }
  void set(const std::string& name, Raw::Object rules) {
    for (auto& [known, place] : definitions_) {
      if (known != name) continue;
      place = Raw(std::move(rules));
      return;
    }
  }

  static void add_range(const FieldInfo& field, Raw::Object& rules) {
    rules.emplace_back("minimum", Raw(field.low));
    rules.emplace_back("maximum", Raw(field.high));
  }

  static void add_text_rules(const FieldInfo& field, Raw::Object& rules) {
    if (field.low > 0) rules.emplace_back("minLength", Raw(field.low));
    rules.emplace_back("maxLength", Raw(field.high));
    if (field.kind == FieldKind::identifier || field.kind == FieldKind::reference || field.kind == FieldKind::curve) {
      rules.emplace_back("pattern", id_pattern);
    } else if (field.kind == FieldKind::text) {
      rules.emplace_back("pattern", text_pattern(field.many_lines));
    }
  }

  static void add_list_rules(const FieldInfo& field, Raw items, Raw::Object& rules) {
    rules.emplace_back("type", "array");
    rules.emplace_back("items", std::move(items));
    if (field.min_items > 0) rules.emplace_back("minItems", whole_number(field.min_items));
    rules.emplace_back("maxItems", whole_number(field.max_items));
  }

  Raw::Object value_rules(const FieldInfo& field) {
    Raw::Object rules{{"description", field.meaning + (field.unit.empty() ? "" : " (" + field.unit + ")")}};
    switch (field.kind) {
      case FieldKind::number:
      case FieldKind::whole:
        rules.emplace_back("type", field.kind == FieldKind::whole ? "integer" : "number");
        if (field.values.empty()) {
          add_range(field, rules);
        } else {
          rules.emplace_back("enum", Raw(Raw::List(field.values.begin(), field.values.end())));
        }
        if (field.fallback) rules.emplace_back("default", Raw(*field.fallback));
        break;
      case FieldKind::text:
      case FieldKind::identifier:
        rules.emplace_back("type", "string");
        add_text_rules(field, rules);
        break;
      case FieldKind::choice:
        rules.emplace_back("enum", Raw(to_list(field.choices)));
        break;
      case FieldKind::reference:
        rules.emplace_back("type", Raw(Raw::List{"string", "null"}));
        add_text_rules(field, rules);
        break;
      case FieldKind::number_list:
      case FieldKind::gate_list: {
        const bool null_too = field.kind == FieldKind::gate_list;
        Raw::Object item{{"type", null_too ? Raw(Raw::List{"number", "null"}) : Raw("number")}};
        add_range(field, item);
        add_list_rules(field, Raw(std::move(item)), rules);
        // A fuse without a single time in such a list says nothing.
        if (null_too) rules.emplace_back("contains", Raw(Raw::Object{{"type", "number"}}));
        break;
      }
      case FieldKind::record:
        rules.emplace_back("$ref", *record(*field.child).find("$ref"));
        if (field.fallback) rules.emplace_back("default", Raw(Raw::Object{}));
        break;
      case FieldKind::record_list:
        add_list_rules(field, record(*field.child), rules);
        break;
      case FieldKind::curve: {
        Raw::Object id{{"type", "string"}};
        add_text_rules(field, id);
        rules.emplace_back("oneOf", Raw(Raw::List{Raw(std::move(id)), record(*field.child)}));
        break;
      }
      case FieldKind::tolerances: {
        Raw::Object figures;
        for (const auto& pointer : model::actuator_number_pointers()) {
          Raw::Object half_width{{"type", "number"}};
          add_range(field, half_width);
          figures.emplace_back(pointer, Raw(std::move(half_width)));
        }
        rules.emplace_back("type", "object");
        rules.emplace_back("properties", Raw(std::move(figures)));
        rules.emplace_back("additionalProperties", Raw(false));
        break;
      }
      case FieldKind::parts:
        add_list_rules(field, part(), rules);
        break;
    }
    return rules;
  }

  /// What no single row says.
  static void add_further_rules(const std::string& name, Raw::Object& object) {
    if (name == model::rod_force_table().info().name) {
      Raw::List by_shape;
      for (std::size_t k = 0; k < model::rod_shape_names().size(); ++k) {
        const auto& wanted = model::rod_shape_keys(static_cast<model::RodShape>(k));
        Raw::Object elsewhere;
        for (std::size_t other = 0; other < model::rod_shape_names().size(); ++other) {
          for (const auto& key : model::rod_shape_keys(static_cast<model::RodShape>(other))) {
            const bool here = std::find(wanted.begin(), wanted.end(), key) != wanted.end();
            const bool listed = Raw(elsewhere).find(key) != nullptr;
            if (!here && !listed) elsewhere.emplace_back(key, Raw(false));
          }
        }
        by_shape.push_back(Raw(Raw::Object{
            {"if", Raw(Raw::Object{{"required", Raw(Raw::List{"shape"})},
                                   {"properties", only("shape", model::rod_shape_names()[k])}})},
            {"then", Raw(Raw::Object{{"required", Raw(to_list(wanted))}, {"properties", Raw(elsewhere)}})}}));
      }
      object.emplace_back("allOf", Raw(std::move(by_shape)));
    }
    if (name == model::thermal_table().info().name) {
      const char *capacity = "copper_J_per_K", *path = "copper_to_core_K_per_W";
      object.emplace_back("dependentRequired", Raw(Raw::Object{{capacity, Raw(Raw::List{path})},
                                                               {path, Raw(Raw::List{capacity})},
                                                               {"hot_coil_share", Raw(Raw::List{capacity, path})}}));
    }
  }

  Raw::Object definitions_;
};

Raw schema_of(const std::string& title, const Raw::Object& first,
              const std::vector<const model::RecordInfo*>& infos) {
  Definitions definitions;
  Raw::Object schema{{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"title", title}};
  for (auto& rule : definitions.record_rules(infos, "", std::nullopt, first)) schema.push_back(std::move(rule));
  schema.emplace_back("$defs", definitions.take());
  return Raw(std::move(schema));
}

Raw version_rules(int version) {
  return Raw(Raw::Object{{"const", Raw(version)}, {"description", "the version of the file format"}});
}

}  // namespace

Raw job_schema() {
  return schema_of("Latchwright job", {{"latchwright_job", version_rules(model::job_format_version)}},
                   {&model::job_table().info()});
}

Raw parts_schema() {
  model::RecordInfo list;
  FieldInfo parts;
  parts.key = "parts";
  parts.kind = FieldKind::parts;
  parts.max_items = model::most_parts;
  parts.meaning = "the parts of this file";
  list.fields.push_back(std::move(parts));
  return schema_of("Latchwright parts", {{"latchwright_parts", version_rules(model::parts_format_version)}}, {&list});
}

}  // namespace latchwright::report

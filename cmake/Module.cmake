# stumpwise_module(NAME SOURCES f... [DEPENDS module...] [PUBLIC lib...] [PRIVATE lib...])
#
# One static library per folder of src/, with an include root of its own (src/NAME/include), so that a module can
# see the headers of those it names and no others. DEPENDS must already be targets: CMake itself would accept a
# cycle of static libraries without a word.
add_library(stumpwise_options INTERFACE)
# Fused multiply-add is off so that grids come out the same on every machine.
target_compile_options(stumpwise_options INTERFACE -Wall -Wextra -Wpedantic -Wshadow -Wconversion
  -Wno-sign-conversion -Wno-float-conversion -ffp-contract=off)
if(STUMPWISE_SANITIZE)
  target_compile_options(stumpwise_options INTERFACE -fsanitize=address,undefined -fno-omit-frame-pointer
    -fno-sanitize-recover=undefined)
  target_link_options(stumpwise_options INTERFACE -fsanitize=address,undefined)
  target_compile_definitions(stumpwise_options INTERFACE _GLIBCXX_ASSERTIONS)
endif()
if(STUMPWISE_FUZZ)
  target_compile_options(stumpwise_options INTERFACE -fsanitize=fuzzer-no-link,address)
  target_link_options(stumpwise_options INTERFACE -fsanitize=address)
endif()

function(stumpwise_module name)
  cmake_parse_arguments(M "" "" "SOURCES;DEPENDS;PUBLIC;PRIVATE" ${ARGN})
  if(M_UNPARSED_ARGUMENTS)
    message(FATAL_ERROR "module ${name}: unknown words: ${M_UNPARSED_ARGUMENTS}")
  endif()
  foreach(dependency IN LISTS M_DEPENDS)
    if(NOT TARGET stumpwise_${dependency})
      message(FATAL_ERROR "module ${name} uses ${dependency}, which does not stand above it in the order of the layers")
    endif()
    list(APPEND M_PUBLIC stumpwise::${dependency})
  endforeach()
  set(target stumpwise_${name})
  file(GLOB_RECURSE headers CONFIGURE_DEPENDS "${CMAKE_CURRENT_SOURCE_DIR}/include/*.h")
  add_library(${target} STATIC ${M_SOURCES})
  add_library(stumpwise::${name} ALIAS ${target})
  target_sources(${target} PUBLIC FILE_SET HEADERS BASE_DIRS "${CMAKE_CURRENT_SOURCE_DIR}/include" FILES ${headers})
  set_target_properties(${target} PROPERTIES VERIFY_INTERFACE_HEADER_SETS ON)
  target_link_libraries(${target} PUBLIC ${M_PUBLIC} PRIVATE stumpwise_options ${M_PRIVATE})
  set_property(GLOBAL APPEND PROPERTY STUMPWISE_EDGES "${name}: ${M_DEPENDS}")
endfunction()

# stumpwise_module_test(NAME [LIBS lib...])
#
# One test program per module, from tests/NAME/*_test.cpp, that links only that module: calling upward fails here.
function(stumpwise_module_test name)
  cmake_parse_arguments(T "" "" "LIBS" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS "${CMAKE_CURRENT_SOURCE_DIR}/${name}/*_test.cpp")
  if(NOT sources)
    message(FATAL_ERROR "tests/${name} holds no *_test.cpp")
  endif()
  set(target test_${name})
  add_executable(${target} ${sources})
  target_link_libraries(${target} PRIVATE stumpwise::${name} stumpwise_options rapidcheck_parts GTest::gmock GTest::gtest_main ${T_LIBS})
  target_compile_definitions(${target} PRIVATE
    STUMPWISE_SOURCE_DIR="${CMAKE_SOURCE_DIR}" STUMPWISE_BINARY_DIR="${CMAKE_BINARY_DIR}")
  add_test(NAME ${name} COMMAND ${target})
  set_tests_properties(${name} PROPERTIES LABELS unit)
endfunction()
